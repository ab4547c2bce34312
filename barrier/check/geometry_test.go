package check

import (
	"strings"
	"testing"
)

// rules returns the geometry rows of a barrier by the first words of the rule.
func rules(t testing.TB, s scenario) (*Result, map[string]GeometryRow) {
	t.Helper()
	r := s.check(t)
	out := map[string]GeometryRow{}
	for _, g := range r.Geometry {
		for _, words := range []string{"top of the handrail", "clear gap between handrail", "toe plate at least", "gap between walking", "posts preferably", "barrier at least", "a 100 mm sphere"} {
			if strings.HasPrefix(g.Rule, words) {
				out[words] = g
			}
		}
	}
	return r, out
}

func machineryGeometry() scenario {
	s := throughRails()
	s.load, s.scope = machinery, "leave_out = [\"fitting\", \"base\"]"
	s.run = "length = \"4.5 m\"\nspacing = \"1.5 m\"\ntoe_plate = { height = \"100 mm\", gap = \"12 mm\" }"
	return s
}

// Each rule of EN ISO 14122-3 7.1 (memory), held and broken; what is found is by
// hand on 48.3 mm tube: 24.15 mm from axis to face.
func TestGeometryRules(t *testing.T) {
	plate := func(height, gap string) func(*scenario) {
		return func(s *scenario) {
			s.run = "length = \"4.5 m\"\nspacing = \"1.5 m\"\ntoe_plate = { height = \"" + height + "\", gap = \"" + gap + "\" }"
		}
	}
	slope := func(keys string) func(*scenario) {
		return func(s *scenario) { s.run = strings.Replace(s.run, "length = \"4.5 m\"", keys, 1) }
	}
	landing := `legs = [{ length = "1.5 m" }, { length = "3 m", turn = "0 deg", pitch = "30 deg" }]`
	for _, c := range []struct {
		what   string
		change func(*scenario)
		rule   string
		found  float64 // mm
		status Status  // of the rule
		whole  Status  // of the barrier
	}{
		{"high enough", func(*scenario) {}, "top of the handrail", 1100 + 24.15, Pass, Pass},
		{"too low", func(s *scenario) { s.height = "1075 mm" }, "top of the handrail", 1075 + 24.15, Fail, Fail},
		{"high enough for level runs, on a slope", slope("length = \"4.5 m\"\npitch = \"30 deg\""), "top of the handrail", 1100 + 24.15, Unchecked, Incomplete},
		{"too low for level runs, on a slope", func(s *scenario) { s.height = "1075 mm"; slope("length = \"4.5 m\"\npitch = \"30 deg\"")(s) }, "top of the handrail", 1075 + 24.15, Unchecked, Incomplete},
		{"high enough on the landing of a flight", slope(landing), "top of the handrail", 1100 + 24.15, Unchecked, Incomplete},
		{"too low on the landing of a flight", func(s *scenario) { s.height = "1075 mm"; slope(landing)(s) }, "top of the handrail", 1075 + 24.15, Fail, Fail},
		{"just high enough", func(s *scenario) { s.height = "1075.85 mm" }, "top of the handrail", 1100, Pass, Pass},
		{"openings", func(*scenario) {}, "clear gap between handrail", 600 - 24.15 - 112, Pass, Pass},
		{"opening between the rails too large", func(s *scenario) { s.height = "1150 mm" }, "clear gap between handrail", 550 - 48.3, Fail, Fail},
		{"opening below the knee rail too large", func(s *scenario) {
			s.run = strings.Replace(s.run, "{ height = \"100 mm\", gap = \"12 mm\" }", "\"none\"", 1)
		}, "clear gap between handrail", 600 - 24.15, Fail, Fail},
		{"toe plate", func(*scenario) {}, "toe plate at least", 100, Pass, Pass},
		{"toe plate too low", plate("99 mm", "10 mm"), "toe plate at least", 99, Fail, Fail},
		{"no toe plate", func(s *scenario) {
			s.run = strings.Replace(s.run, "{ height = \"100 mm\", gap = \"12 mm\" }", "\"none\"", 1)
		}, "toe plate at least", 0, Fail, Fail},
		{"gap under the toe plate", func(*scenario) {}, "gap between walking", 12, Pass, Pass},
		{"gap too large: medium confidence cautions", plate("100 mm", "13 mm"), "gap between walking", 13, Warned, Pass},
		{"spacing", func(*scenario) {}, "posts preferably", 1500, Pass, Pass},
		{"spacing above the preferred one cautions", func(s *scenario) {
			s.run = "posts = [\"0 m\", \"1.6 m\", \"3.1 m\"]\ntoe_plate = { height = \"100 mm\", gap = \"12 mm\" }"
		}, "posts preferably", 1600, Warned, Pass},
	} {
		s := machineryGeometry()
		c.change(&s)
		r, rows := rules(t, s)
		g, ok := rows[c.rule]
		if !ok {
			t.Errorf("%s: no row of the rule %q", c.what, c.rule)
			continue
		}
		if g.Status != c.status || g.Unit != "mm" || g.Found < c.found-1e-6 || g.Found > c.found+1e-6 {
			t.Errorf("%s: %s at %v %s, want %s at %v mm (EN ISO 14122-3 7.1, memory)", c.what, g.Status, g.Found, g.Unit, c.status, c.found)
		}
		if r.Status != c.whole {
			t.Errorf("%s: status %s, want %s; headline %q", c.what, r.Status, c.whole, r.Headline)
		}
		if sloping := strings.Contains(s.run, "pitch"); sloping != strings.Contains(g.Note, "the rule is for level runs") {
			t.Errorf("%s: note %q", c.what, g.Note)
		}
		if c.status == Fail && !strings.Contains(r.Headline, "geometry: ") {
			t.Errorf("%s: headline %q does not name the rule", c.what, r.Headline)
		}
	}
}

// A toe plate that the file does not mention is unchecked, with the opening it
// must close.
func TestToePlateNotMentioned(t *testing.T) {
	s := machineryGeometry()
	s.run = "length = \"4.5 m\"\nspacing = \"1.5 m\""
	r, rows := rules(t, s)
	if r.Status != Incomplete || !strings.Contains(r.Headline, "geometry in part") {
		t.Errorf("status %s, headline %q; want incomplete, geometry in part", r.Status, r.Headline)
	}
	for _, rule := range []string{"clear gap between handrail", "toe plate at least"} {
		g := rows[rule]
		if g.Status != Unchecked || g.Found != 575.85 || !strings.Contains(g.Note, "below rail knee") {
			t.Errorf("%s: %s at %v, %q; want unchecked at 600 - 24.15 mm below rail knee", rule, g.Status, g.Found, g.Note)
		}
	}
	if _, applies := rows["gap between walking"]; applies {
		t.Error("the gap under a toe plate that is not mentioned is judged")
	}
	if it := r.open("geometry: toe plate"); it == nil || it.Demand != 575.85 || it.Unit != "mm" {
		t.Errorf("unchecked toe plate is %+v, want its opening of 575.85 mm", it)
	}
	// An opening between rails that is known to be too large fails all the same.
	s.height = "1150 mm"
	if r, rows := rules(t, s); rows["clear gap between handrail"].Status != Fail || r.Status != Fail {
		t.Errorf("an opening of 501.7 mm between the rails: %s", rows["clear gap between handrail"].Status)
	}
}

func TestGeometryLeftOut(t *testing.T) {
	s := machineryGeometry()
	s.height, s.scope = "1075 mm", allOut
	r, rows := rules(t, s)
	if g := rows["top of the handrail"]; g.Status != LeftOut || !strings.HasPrefix(g.Note, "fail if it were judged") {
		t.Errorf("left out rule is %s, %q; want left out, with what it would be", g.Status, g.Note)
	}
	if r.Status != Pass || r.ScopeComplete || !strings.Contains(r.Headline, "left out by the user: fittings and splices; socket, foot and ground; geometry") {
		t.Errorf("status %s, scope complete %v, headline %q", r.Status, r.ScopeComplete, r.Headline)
	}
}

// A 100 mm sphere passes any open barrier. The rule binds dwellings (UK ii); for
// offices (UK v) it stands where children may be, which the file does not say, and
// cautions.
func TestSphereRule(t *testing.T) {
	s := throughRails()
	s.scope, s.limits = "leave_out = [\"fitting\", \"base\"]", "deflection = \"25 mm\""
	for occupancy, want := range map[string]Status{"EN 1991-1-1 UK ii": Fail, "EN 1991-1-1 UK v": Warned} {
		s.load = "schedule = \"" + occupancy + "\""
		_, rows := rules(t, s)
		g := rows["a 100 mm sphere"]
		if g.Status != want || g.Found != 575.85 || g.Required != 100 {
			t.Errorf("%s: %s at %v against %v, want %s at 575.85 against 100 (Approved Document K 3.3)", occupancy, g.Status, g.Found, g.Required, want)
		}
	}
}
