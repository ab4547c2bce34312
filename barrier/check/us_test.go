package check

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/internal/verification"
)

// guard is a lone-post guard of pipe: one rail cut at every post, so that every post is
// a cantilever and every bay a simple span.
func guard(basis, pipe, height, length, spacing, load string) string {
	return fmt.Sprintf(`basis = %q
units = "US"
[run]
length = %q
spacing = %q
toe_plate = "none"
[post]
tube = %q
grade = "Grade B"
[post.base]
stiffness = "rigid"
level = "0 in"
[[rail]]
name = "top"
height = %q
tube = %[4]q
grade = "Grade B"
through = false
stock = "21 ft"
[[load]]
name = "people"
%[6]s
[limits]
deflection = "none"
[scope]
leave_out = ["fitting", "base", "geometry"]
`, basis, length, spacing, pipe, height, load)
}

const (
	point200 = "kind = \"point\"\nvalue = \"200 lbf\"\ndirection = \"outward\""
	line50   = "kind = \"line\"\nvalue = \"50 lbf/ft\"\ndirection = \"outward\""
)

// Guard posts and rails of standard pipe against published numbers. The sources count on
// the section as they print it; here the moments come from the frame.
func TestPublishedGuardNumbers(t *testing.T) {
	outside := compared(t, verification.Barriers, "published guards, US")
	const (
		archive = "guard post hand check, engineers' mail archive 2000, public"
		sheet   = "handrail and post design sheet, public"
		permit  = "city permit file, stair guard of 1-1/4 standard pipe, Fy 35 ksi, Ω 1.67, public"
	)
	for _, c := range []struct {
		what, source string
		text         string
		id, element  string
		value        func(*CheckRow) float64
		want, slack  float64
	}{
		{"200 lbf at 42 in, kip-in", archive, guard("AISC-ASD", "ASTM A53 NPS 1-1/4 STD", "42 in", "8 ft", "4 ft", point200), "post-bending", "post 1", kipIn, 8.4, 1e-9},
		{"posts 4 ft apart, 50 lbf/ft at 42 in, kip-in", sheet, guard("AISC-ASD", "ASTM A53 NPS 1-1/2 STD", "42 in", "8 ft", "4 ft", line50), "post-bending", "post 2", kipIn, 8.4, 1e-9},
		{"rail moment, 50 lbf/ft over 4 ft, kip-in", sheet, guard("AISC-ASD", "ASTM A53 NPS 1-1/2 STD", "42 in", "8 ft", "4 ft", line50), "rail-bending", "rail top bay 1", kipIn, 1.2, 0.01},
		{"1-1/4 pipe, available moment, kip-in", permit, guard("AISC-ASD", "ASTM A53 NPS 1-1/4 STD", "36 in", "84 in", "42 in", point200), "post-bending", "post 1", resistanceKipIn, 6.4, 0.05 / 6.4},
		{"rail, 200 lbf over 42 in", permit, guard("AISC-ASD", "ASTM A53 NPS 1-1/4 STD", "36 in", "84 in", "42 in", point200), "rail-bending", "rail top bay 1", used, 0.33, 0.005 / 0.33},
		{"rail, 50 lbf/ft over 42 in", permit, guard("AISC-ASD", "ASTM A53 NPS 1-1/4 STD", "36 in", "84 in", "42 in", line50), "rail-bending", "rail top bay 1", used, 0.14, 0.05},
	} {
		row := result(t, parse(t, c.text), Options{}).row(t, c.id, c.element)
		outside.near(c.what, c.value(row), c.want, c.slack*c.want, c.source)
	}
}

func kipIn(r *CheckRow) float64           { return r.Demand / (1000 * 4.4482216152605 * 0.0254) }
func resistanceKipIn(r *CheckRow) float64 { return r.Resistance / (1000 * 4.4482216152605 * 0.0254) }
func used(r *CheckRow) float64            { return *r.Utilisation }

// The same barrier written in metric and in US units, read by people in either, gives
// the same result; only the inputs as read and what a reader is told of units differ.
func TestUnitsDoNotChangeTheResult(t *testing.T) {
	inches := guard("AISC-LRFD", "ASTM A53 NPS 1-1/2 STD", "42 in", "8 ft", "4 ft", line50)
	metric := strings.NewReplacer(`"42 in"`, `"1066.8 mm"`, `"8 ft"`, `"2.4384 m"`, `"4 ft"`, `"1219.2 mm"`, `"21 ft"`, `"6.4008 m"`,
		`"0 in"`, `"0 mm"`, `"50 lbf/ft"`, fmt.Sprintf("\"%.13f N/m\"", si(t, "50 lbf/ft", quantity.LineLoad)), `units = "US"`, `units = "metric"`).Replace(inches)
	a, b := result(t, parse(t, inches), Options{}), result(t, parse(t, metric), Options{})
	a.Inputs, b.Inputs = nil, nil
	for _, r := range []*Result{a, b} {
		r.Assumptions = deleted(r.Assumptions, "units")
	}
	if !reflect.DeepEqual(a, b) {
		x, _ := json.MarshalIndent(a, "", " ")
		y, _ := json.MarshalIndent(b, "", " ")
		t.Errorf("the results differ:\n%s\n%s", x, y)
	}
}

func deleted(texts []string, word string) []string {
	var kept []string
	for _, text := range texts {
		if !strings.Contains(text, word) {
			kept = append(kept, text)
		}
	}
	return kept
}

// The top of the top rail under 200 lbf downward, 29 CFR 1910.29(b)(4): a rail cut at
// its posts sinks by PL³/48EI.
func TestRailUnderDownwardLoad(t *testing.T) {
	outside := compared(t, verification.Barriers, "rail under a load down")
	text := guard("AISC-LRFD", "ASTM A53 NPS 1-1/4 STD", "41 in", "16 ft", "8 ft", `schedule = "29 CFR 1910.29"`)
	text = strings.Replace(text, "name = \"people\"\n", "", 1)
	d := parse(t, text)
	r := result(t, d, Options{})
	row := r.row(t, "rail-vertical-deflection", "rail top bay 1")
	ei := d.Rails[0].Grade.E * d.Rails[0].Ring.I
	p, l := si(t, "200 lbf", quantity.Force), si(t, "8 ft", quantity.Length)
	sinks := p*l*l*l/(48*ei) + p/2*d.Post.Height/(d.Post.Grade.E*d.Post.Ring.Area)
	outside.near("rail sinks, mm", row.Demand, sinks*1e3, 1e-6*sinks*1e3, "PL³/48EI, and the posts' shortening Ph/2EA")
	room := si(t, "41 in", quantity.Length) + d.Rails[0].Ring.OD/2 - si(t, "39 in", quantity.Length)
	outside.near("room to 39 in, mm", row.Resistance, room*1e3, 1e-9*room*1e3, "29 CFR 1910.29(b)(4), public")
	if !strings.Contains(row.Load, "down") && !strings.Contains(row.Load, "elevation -90") {
		t.Errorf("the load of the 39 in rule is %q, want one that points down", row.Load)
	}
}

// A limit by rule is that of each bay: a long bay may move more than a short one.
func TestLimitByRule(t *testing.T) {
	outside := compared(t, verification.Barriers, "limit by a rule")
	s := lonePosts()
	s.run = "posts = [\"0 m\", \"1.0 m\", \"3.0 m\"]\ntoe_plate = \"none\""
	s.load = outward + "\n\n" + strings.NewReplacer("outward", "down", "people", "sitting").Replace(outward)
	s.limits = "rule = \"h/24 + L/96\"\npost = \"h/12\"\nvertical = \"L/96\""
	r := s.check(t)
	for i := range r.Checks {
		row := &r.Checks[i]
		var want float64
		switch {
		case row.ID == "post-deflection" && row.Element == "post 3":
			want = 1100.0/24 + 2000.0/96
		case row.ID == "post-deflection":
			want = 1100.0/24 + 1000.0/96
		case row.ID == "rail-deflection" && strings.HasSuffix(row.Element, "bay 1"):
			want = 1100.0/24 + 1000.0/96
		case row.ID == "rail-deflection":
			want = 1100.0/24 + 2000.0/96
		case row.ID == "rail-vertical-deflection" && strings.HasSuffix(row.Element, "bay 2"):
			want = 2000.0 / 96
		case row.ID == "rail-vertical-deflection":
			want = 1000.0 / 96
		default:
			continue
		}
		outside.near(row.ID+" of "+row.Element+", limit in mm", row.Resistance, want, 1e-7, "the rule, by hand: nine figures are printed")
		outside.near(row.ID+" of "+row.Element, *row.Utilisation, row.Demand/want, 1e-7, "movement over limit")
	}
}

// Published example of a guard rail's anchor: 890 N at 1040 mm on a lever of 114 mm, and
// the stress in its rail, M/S. US Army Corps of Engineers, ETL 1110-2-534 (1994).
func TestPublishedAnchorForce(t *testing.T) {
	outside := compared(t, verification.Barriers, "published anchor force")
	const source = "US Army Corps of Engineers ETL 1110-2-534 (1994), example, public"
	text := strings.NewReplacer(`"200 lbf"`, `"890 N"`).Replace(guard("AISC-ASD", "ASTM A53 NPS 1-1/2 STD", "1040 mm", "2.44 m", "1.22 m", point200))
	r := result(t, parse(t, text), Options{})
	outside.near("anchor force, kN", r.Posts[0].BaseMoment/0.114/1e3, 8.1, 0.05, source+": P h / d")
	outside.near("stress of 217 Nm on 5340 mm³, MPa", 217e3/5340, 41, 0.5, source+": M/S")
}

// A force that may turn across the run, at the tip of an overhang, where the section is too:
// every load that is found is that which is solved again, or Run has no result.
func TestTurningForceAtTheTipOfAnOverhang(t *testing.T) {
	for _, overhang := range []string{"0.02 m", "0.05 m", "0.1 m", "0.3 m", "0.5 m"} {
		d, err := barrier.Parse("tip.toml", []byte(`basis = "AISC-LRFD"
[run]
posts = ["0 m", "1.2 m"]
overhang = ["0 m", "`+overhang+`"]
toe_plate = "none"
[post]
tube = "ASTM A53 NPS 1-1/2 STD"
grade = "Grade B"
height = "1.1 m"
[post.base]
stiffness = "rigid"
level = "0 mm"
[[rail]]
name = "top"
height = "1.1 m"
tube = "ASTM A53 NPS 1-1/2 STD"
grade = "Grade B"
through = true
[[load]]
schedule = "29 CFR 1926.502"
[limits]
deflection = "40 mm"
`))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Run(d, Options{}); err != nil {
			t.Errorf("overhang %s: %v", overhang, err)
		}
	}
}
