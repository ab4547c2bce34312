package barrier_test

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/golden"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
)

// ownWind is a wind as the tests put it in place of the schedule of the example.
const ownWind = "kind = \"wind\"\nstandard = \"EN 1991-1-4\"\nvelocity = \"26 m/s\"\nterrain = \"III\"\nground = \"8 m\""

// TestReadsWeather reads a file with every kind of load and compares what it says, in SI, with
// what was read.
func TestReadsWeather(t *testing.T) {
	d := parseFile(t, "testdata/weather.toml")
	want := []barrier.OwnLoad{
		{},
		{Kind: barrier.OwnPoint, Value: 200, Direction: barrier.Direction{Word: "down"}},
		{Kind: barrier.OwnArea, Value: 400, Direction: barrier.Direction{Word: "across"}},
		{Kind: barrier.OwnWind, Direction: barrier.Direction{Word: "horizontal"}},
		{Kind: barrier.OwnWind, Direction: barrier.Direction{Word: "across"}},
		{Kind: barrier.OwnIce}, {Kind: barrier.OwnIce},
		{Kind: barrier.OwnTemperature}, {Kind: barrier.OwnTemperature},
	}
	for i, l := range d.Loads {
		if i > 0 && (l.Own.Kind != want[i].Kind || l.Own.Value != want[i].Value || l.Own.Rail != 0 || l.Own.Direction != want[i].Direction) {
			t.Errorf("load %d is %+v, want %+v", i+1, *l.Own, want[i])
		}
	}
	lamp := d.Loads[1].Own
	if *lamp.At != 3.2 || *lamp.Height != 1.5 {
		t.Errorf("the lamp stands at %v m, %v m up", *lamp.At, *lamp.Height)
	}
	if got, want := *d.Loads[3].Own.Wind, (loads.Wind{Route: loads.WindEN, Velocity: 26, Terrain: "III", Ground: 8}); got != want {
		t.Errorf("wind %+v, want %+v", got, want)
	}
	if got, want := *d.Loads[4].Own.Wind, (loads.Wind{Route: loads.WindPressureGiven, Pressure: 450, Shielded: 0.8}); got != want {
		t.Errorf("wind %+v, want %+v", got, want)
	}
	if got := *d.Loads[5].Own.Ice; got != (loads.Ice{Class: "G2"}) {
		t.Errorf("ice %+v", got)
	}
	if got := *d.Loads[6].Own.Ice; got != (loads.Ice{Thickness: 0.02}) {
		t.Errorf("ice %+v", got)
	}
	if a, b := *d.Loads[7].Own.Temperature, *d.Loads[8].Own.Temperature; a != (barrier.Warmth{Rise: 35, Fall: 45}) || b != (barrier.Warmth{Fall: 30}) {
		t.Errorf("temperatures %+v and %+v", a, b)
	}
	// One list names wind and lamp: they are joined with each other too. Ice names the wind in a
	// list of its own, and is joined with neither of the others.
	for i, want := range [][]int{{1, 3}, {0, 3}, nil, {0, 1, 5}, nil, {3}, nil, nil, nil} {
		if !slices.Equal(d.Loads[i].With, want) {
			t.Errorf("load %d acts with %v, want %v", i+1, d.Loads[i].With, want)
		}
	}
	for i, want := range []loads.Category{"C", "imposed", "imposed", "wind", "wind", "ice", "ice", "temperature", "temperature"} {
		if d.Loads[i].Category != want || d.Loads[i].IsPlaced() != (i < 3) {
			t.Errorf("load %d is of category %q, placed %v; want %q", i+1, d.Loads[i].Category, d.Loads[i].IsPlaced(), want)
		}
	}
	for _, a := range d.Loads[0].Schedule.Actions {
		if a.Category != "C" {
			t.Errorf("%s of %s is of category %q, want C", a.Name, d.Loads[0].Name, a.Category)
		}
	}
	if d.Loads[0].Fixing != 1.5 || d.Loads[1].Fixing != 1 || !d.Post.Base.Loose || d.Infill.Kind != barrier.MeshInfill || *d.Infill.Opening != 0.05 {
		t.Errorf("fixings %v and %v, loose %v, infill %+v", d.Loads[0].Fixing, d.Loads[1].Fixing, d.Post.Base.Loose, d.Infill)
	}
	c := d.Combine
	if c.Rule != loads.Rule610ab || c.Only || len(c.Own) != 2 {
		t.Fatalf("combinations %+v", c)
	}
	for i, want := range []barrier.OwnCombination{
		{Name: "site", Situation: loads.Strength, Permanent: [2]float64{1.35, 1}, Factors: map[int]float64{0: 1.5, 3: 0.9}},
		{Name: "winter", Situation: loads.Service, Permanent: [2]float64{1, 1}, Factors: map[int]float64{5: 1, 2: 0.5}},
	} {
		if got := c.Own[i]; got.Name != want.Name || got.Situation != want.Situation || got.Permanent != want.Permanent || !maps.Equal(got.Factors, want.Factors) {
			t.Errorf("combination %+v, want %+v", got, want)
		}
	}
	if l := d.Limits; l.Standard.Name != "ASTM E985" || l.Deflection.Length != 0.02 || l.Span.PerHeight != 1./40 || l.Vertical != nil {
		t.Errorf("limits %+v", l)
	}
	var b strings.Builder
	for _, s := range slices.Concat(d.Assumptions, d.Cautions) {
		b.WriteString(s.In(quantity.Metric) + "\n")
	}
	for _, in := range d.Inputs {
		fmt.Fprintf(&b, "%d %s: %s\n", in.Line, in.Path, in.Text)
	}
	golden.Check(t, "testdata/weather.txt", []byte(b.String()))
}

// TestReadsWinds reads what the file of every kind does not show.
func TestReadsWinds(t *testing.T) {
	d := changed(t, schedule, ownWind+"\nair_density = \"1.226 kg/m3\"\nreturn_period = 100\ntopography = 1.2\ndirection = \"along\"")
	if got, want := *d.Loads[0].Own.Wind, (loads.Wind{Route: loads.WindEN, Velocity: 26, Terrain: "III", Ground: 8, Density: 1.226, Return: 100, Topography: 1.2}); got != want {
		t.Errorf("wind %+v, want %+v", got, want)
	}
	if d = changed(t, schedule, ownWind+"\nreturn_period = \"25 years\""); d.Loads[0].Own.Wind.Return != 25 {
		t.Errorf("return period %v years", d.Loads[0].Own.Wind.Return)
	}
	const asce = "kind = \"wind\"\nstandard = \"ASCE 7-16\"\nvelocity = \"115 mph\"\nexposure = \"C\"\nground = \"20 ft\""
	d = changed(t, `basis = "EN"`, `basis = "AISC-LRFD"`, schedule, asce)
	// 115 mi of 1609.344 m in an hour are 51.4096 m/s; 20 ft are 6.096 m.
	if got, want := *d.Loads[0].Own.Wind, (loads.Wind{Route: loads.WindASCE, Velocity: 51.4096, Exposure: "C", Ground: 6.096}); got != want || d.Combine.Rule != "" {
		t.Errorf("wind %+v, want %+v; rule %q", got, want, d.Combine.Rule)
	}
	for _, c := range []struct{ basis, wind, caution string }{
		{"AISC-ASD", ownWind, "The wind of EN 1991-1-4 is of the family EN and is taken under AISC-ASD as a wind of service level, of about 50 years, and for strength it takes 1.00 W where it leads, not the factor on a wind of strength level: mix = true."},
		{"EN", asce, "The wind of ASCE 7-16 is of the family ASCE and is taken under EN as a wind of strength level, on which the factor of the basis comes again: mix = true."},
	} {
		d = changed(t, `basis = "EN"`, `basis = "`+c.basis+`"`, schedule, c.wind+"\nmix = true")
		if !slices.Contains(said(d.Cautions), c.caution) {
			t.Errorf("cautions %q lack %q", said(d.Cautions), c.caution)
		}
	}
}

// TestSaysCategories: a row of several categories is combined as that with the largest psi (EN 1990
// Table A1.1: E has 1.0), which is said where it acts with others or psi stands in 6.10a, and
// not where the category is given.
func TestSaysCategories(t *testing.T) {
	const uk = "schedule = \"EN 1991-1-1 UK v\""
	const want = `EN 1991-1-1 UK v covers the categories B and E and is combined as E, whose psi is the largest of them (psi0 1.0): category is not given. Where the floor is of one, add it to the load, such as category = "B".`
	const wind = "name = \"wind\"\n" + ownWind
	for _, c := range []struct {
		loads string
		said  bool
	}{
		{uk, false},
		{uk + "\n[[load]]\n" + wind, false},
		{uk + "\nwith = [\"wind\"]\n[[load]]\n" + wind, true},
		{uk + "\n[combinations]\nrule = \"6.10a/b\"", true},
		{uk + "\ncategory = \"B\"\nwith = [\"wind\"]\n[[load]]\n" + wind, false},
		{"schedule = \"EN 1991-1-1 UK xi\"\nwith = [\"wind\"]\n[[load]]\n" + wind, false},
	} {
		if d := changed(t, schedule, c.loads); slices.Contains(said(d.Assumptions), want) != c.said {
			t.Errorf("%s\nassumptions %q; the categories are to be said: %v", c.loads, said(d.Assumptions), c.said)
		}
	}
	d := changed(t, schedule, "schedule = \"DIN EN 1991-1-1/NA A\"\n[combinations]\nrule = \"6.10a/b\"")
	if !containsPart(said(d.Assumptions), "covers the categories A, B and F and is combined as F, whose psi is the largest of them (psi0 0.7)") {
		t.Errorf("assumptions %q", said(d.Assumptions))
	}
}

// A velocity pressure of the user's own takes under ASCE 7 the factor of 7-05 on winds of service
// level, which is said.
func TestSaysFactorOfAPressure(t *testing.T) {
	const own, level = "kind = \"wind\"\npressure = \"0.45 kN/m2\"", "A velocity pressure of the user's own is a peak one of service level, exceeded once in about 50 years, as that of EN 1991-1-4 is"
	for basis, factor := range map[string]string{
		"EN":        ".",
		"AISC-LRFD": ", and for strength it takes 1.60 W where it leads, not the factor on a wind of strength level.",
		"AISC-ASD":  ", and for strength it takes 1.00 W where it leads, not the factor on a wind of strength level.",
	} {
		if d := changed(t, `basis = "EN"`, `basis = "`+basis+`"`, schedule, own); !slices.Contains(said(d.Assumptions), level+factor) {
			t.Errorf("%s: assumptions %q", basis, said(d.Assumptions))
		}
	}
}

// Ice of the user's own under ASCE 7, whose ice is of strength level: a class takes the factor of a
// live load (rule of this program), a thickness is taken to be of that level.
func TestSaysLevelOfIce(t *testing.T) {
	const class = ", and for strength it takes %s I where it leads under %s, by a rule of this program: ASCE 7 chapter 10 has ice of strength level."
	for basis, factor := range map[string]string{"EN": "", "AISC-LRFD": "1.60", "AISC-ASD": "1.00"} {
		d := changed(t, `basis = "EN"`, `basis = "`+basis+`"`, schedule, "kind = \"ice\"\nclass = \"G2\"")
		want := strings.NewReplacer("%s I", factor+" I", "under %s", "under "+basis).Replace(class)
		if containsPart(said(d.Cautions), want) != (factor != "") {
			t.Errorf("%s: cautions %q", basis, said(d.Cautions))
		}
		d = changed(t, `basis = "EN"`, `basis = "`+basis+`"`, schedule, "kind = \"ice\"\nthickness = \"20 mm\"")
		if containsPart(said(d.Assumptions), "is one of strength level, of about 500 years") != (factor != "") {
			t.Errorf("%s: assumptions %q", basis, said(d.Assumptions))
		}
	}
}

// TestReadsPlaces reads where loads stand: on a rail before its first post, at a post beside a
// gap, above and below the rails.
func TestReadsPlaces(t *testing.T) {
	const point = "kind = \"point\"\nvalue = \"0.9 kN\"\ndirection = \"down\""
	d := changed(t, schedule, point+"\nat = \"-200 mm\"", `start   = "free"`, `overhang = ["200 mm", "0 mm"]`, `stock   = "6 m"`, `stock = "12 m"`)
	if *d.Loads[0].Own.At != -0.2 {
		t.Errorf("at %v", *d.Loads[0].Own.At)
	}
	d = changed(t, "[[load]]\n"+schedule, "[[gap]]\nfrom = \"3 m\"\nto = \"4.5 m\"\n[[load]]\n"+point+"\nat = \"3 m\"")
	if *d.Loads[0].Own.At != 3 {
		t.Errorf("at %v", *d.Loads[0].Own.At)
	}
	for _, c := range []struct{ height, where string }{
		{"1.2 m", "above the highest rail, at 1100 mm"},
		{"0.4 m", "below the lowest rail, at 600 mm"},
		{"1.12 m", ""}, // within half of 48.3 mm
	} {
		d = changed(t, schedule, ownLoad+"\nheight = \""+c.height+"\"")
		if c.where != "" && !containsPart(said(d.Assumptions), c.where+", by more than half its diameter: that rail takes its force, and the posts its couple") || c.where == "" && containsPart(said(d.Assumptions), "its couple") {
			t.Errorf("at %s: assumptions %q", c.height, said(d.Assumptions))
		}
	}
}

// TestReadsLimitsOfTheSet lets one's own limits be as strict as those of the set in every bay
// of different lengths: h/24 + L/96 in a bay of 1 m is 1100/24 + 1000/96 = 56.25 mm, in one of
// 3 m 77.08 mm, and a limit of 60 mm is looser in the first alone.
func TestReadsLimitsOfTheSet(t *testing.T) {
	pairs := []string{schedule, ownLoad, "length  = \"9 m\"\nspacing = \"1.5 m\"", `posts = ["0 m", "1 m", "4 m"]`, `splices = ["5.8 m"]`, `splices = "none"`, `splices = ["4.6 m"]`, `splices = "none"`}
	d := changed(t, append(pairs, `deflection = "25 mm"`, "standard = \"astm e985\"\ndeflection = \"56 mm\"")...)
	if containsPart(said(d.Cautions), "stands in place of") {
		t.Errorf("cautions %q", said(d.Cautions))
	}
	d = changed(t, append(pairs, `deflection = "25 mm"`, "standard = \"ASTM E985\"\ndeflection = \"60 mm\"\noverride = true")...)
	if !containsPart(said(d.Cautions), "(a limit of 60 mm) stands in place of the 56.25 mm by h/24 + L/96 of ASTM E985: override = true.") {
		t.Errorf("cautions %q", said(d.Cautions))
	}
	if !containsPart(said(d.Assumptions), "In a rule of limits h is the height") {
		t.Errorf("assumptions %q do not say what h and L of the set are", said(d.Assumptions))
	}
}

// TestOnlyOwnCombinations says that those of the basis do not stand.
func TestOnlyOwnCombinations(t *testing.T) {
	d := changed(t, "[limits]", "[combinations]\nonly_own = true\n[[combinations.own]]\npermanent = [1.2, 0.9]\nfactors = { \"EN ISO 14122-3\" = 1.6 }\n[limits]")
	if own := d.Combine.Own; !d.Combine.Only || len(own) != 1 || own[0].Name != "own 1" || own[0].Factors[0] != 1.6 || d.Combine.Rule != loads.Rule610 {
		t.Errorf("combinations %+v", d.Combine)
	}
	for _, want := range []string{
		"The combinations of the user's own stand in place of those of EN: only_own = true.",
		// Source: the schedule's own factor as its table has it.
		`The user's own combination "own 1" takes "EN ISO 14122-3" at 1.60 where EN ISO 14122-3 8.2.2 expressions (3), (4) takes 1.75.`,
	} {
		if !slices.Contains(said(d.Cautions), want) {
			t.Errorf("cautions %q lack %q", said(d.Cautions), want)
		}
	}
}

// TestLowerFactors cautions of loads that every combination of the user's own in place of the
// basis's takes at less than the basis does where they lead: EN 1990 Table A1.2(B), 1.5, and
// 6.14b, 1.0; ASCE 7-16 2.3.1, 1.6 L and 1.0 W. What one of them takes in full brings none.
func TestLowerFactors(t *testing.T) {
	const lines = "name = \"c\"\nkind = \"line\"\nvalue = \"0.36 kN/m\"\ndirection = \"outward\"\n[[load]]\nname = \"w\"\nkind = \"wind\"\npressure = \"0.45 kN/m2\"\n" +
		"[combinations]\nonly_own = true\n[[combinations.own]]\nname = \"site\"\npermanent = [1.35, 1.0]\n"
	const second = "\n[[combinations.own]]\nname = \"gale\"\npermanent = [1.35, 1.0]\n"
	for _, c := range []struct {
		basis, own string
		want       []string
	}{
		{"EN", "factors = { c = 0.1, w = 1.5 }", []string{`"site" takes "c" at 0.10 where EN 1990 6.10 takes 1.50.`}},
		{"EN", "factors = { c = 1.5, w = 0.9 }", []string{`"site" takes "w" at 0.90 where EN 1990 6.10 takes 1.50.`}},
		{"EN", "factors = { c = 1.5, w = 0.9 }" + second + "factors = { c = 1.05, w = 1.5 }", nil},
		{"EN", "situation = \"service\"\nfactors = { c = 0.5, w = 1 }", []string{`"site" takes "c" at 0.50 where EN 1990 6.14b takes 1.00.`}},
		{"AISC-LRFD", "factors = { c = 1.5, w = 1.6 }", []string{`"site" takes "c" at 1.50 where ASCE 7-16 2.3.1 combination 2 takes 1.60.`}},
	} {
		d := changed(t, `basis = "EN"`, `basis = "`+c.basis+`"`, schedule, lines+c.own)
		var got []string
		for _, caution := range said(d.Cautions) {
			if rest, ok := strings.CutPrefix(caution, "The user's own combination "); ok {
				got = append(got, rest)
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s, %s: cautions %q, want %q", c.basis, c.own, got, c.want)
		}
	}
}

// TestAnyWeather reads files whose infill, loads and combinations are put together of keys and
// values that fit and that do not. Each is read whole, or refused with problems that lie in it.
func TestAnyWeather(t *testing.T) {
	head, _, _ := strings.Cut(readFile(t, "testdata/gallery.toml"), "[[load]]")
	values := map[string][]string{
		"mass": {`"4.5 kg/m2"`, `"-1 kg/m2"`}, "solidity": {"0.35", "1", "0"}, "bottom": {`"100 mm"`, `"900 mm"`}, "top": {`"1050 mm"`, `"1.2 m"`, `"400 mm"`},
		"carried_by": {`"posts"`, `"rails"`}, "rails": {`["top", "knee"]`, `["top"]`}, "offset": {`"30 mm"`, `"1 m"`}, "opening": {`"50 mm"`, `"0 mm"`},
		"schedule": {`"EN ISO 14122-3"`, `"ASCE 7-16 general"`}, "fixings": {"1.5"}, "mix": {"true", "false"},
		"with": {`["load 1"]`, `["load 2", "load 3"]`, `["a"]`, `["b", "c"]`}, "category": {`"C"`, `"X"`}, "rail": {`"top"`, `"knee"`},
		"direction": {`"outward"`, `"across"`, `"down"`}, "height": {`"1 m"`, `"1.4 m"`, `"3 m"`}, "at": {`"2 m"`, `"20 m"`},
		"velocity": {`"26 m/s"`, `"0 m/s"`}, "ground": {`"8 m"`, `"-1 m"`}, "pressure": {`"0.45 kN/m2"`, `"1 MPa"`}, "shielding": {"0.9", "2"},
		"thickness": {`"20 mm"`, `"1 m"`}, "density": {`"900 kg/m3"`, `"9 kg/m3"`}, "rise": {`"35 K"`, `"0 K"`}, "fall": {`"45 K"`, `"-1 K"`},
		"permanent": {"[1.35, 1.0]", "[1, 2]"}, "situation": {`"strength"`, `"service"`}, "factors": {`{ "load 1" = 1.5 }`, `{ "load 1" = 1, "load 2" = 0.9, "load 3" = 0.7 }`},
	}
	// Tables that are whole where every value fits, so that files are read as well as refused.
	infills := [][]string{
		{`kind = "mesh"`, "mass", "solidity", "bottom"}, {`kind = "sheet"`, "mass", "offset"}, {`kind = "mesh"`, "mass", "solidity", "carried_by", "top"},
		{`kind = "vertical bars"`, "mass", "solidity", "rails", "opening"}, {`kind = "none"`},
	}
	entries := [][]string{
		{"schedule"}, {"schedule", "with"}, {`kind = "line"`, `value = "1 kN/m"`, "direction", "rail"}, {`kind = "point"`, `value = "1 kN"`, "direction", "at", "height"},
		{`kind = "area"`, `value = "1 kN/m2"`, "direction"}, {`kind = "line"`, `value = "1 kN/m"`, "direction", "with", "category"}, {`name = "a"`, `kind = "ice"`, `class = "G2"`},
		{`kind = "wind"`, `standard = "EN 1991-1-4"`, "velocity", `terrain = "II"`, "ground"}, {`kind = "wind"`, `standard = "ASCE 7-16"`, "velocity", `exposure = "C"`, "ground", "mix"},
		{`kind = "wind"`, "pressure", "with", "shielding"}, {`kind = "ice"`, "thickness", "density"}, {`kind = "temperature"`, "rise", "fall", "with"}, {`kind = "temperature"`, "fall"},
	}
	read := 0
	rapid.Check(t, func(t *rapid.T) {
		var b strings.Builder
		write := func(header string, keys []string) {
			b.WriteString(header + "\n")
			for _, key := range keys {
				if strings.Contains(key, " = ") {
					b.WriteString(key + "\n")
					continue
				}
				pool := values[key]
				if rapid.IntRange(0, 7).Draw(t, "fits") > 0 {
					pool = pool[:1]
				}
				b.WriteString(key + " = " + rapid.SampledFrom(pool).Draw(t, key) + "\n")
			}
		}
		b.WriteString(head)
		if rapid.IntRange(0, 3).Draw(t, "closed") > 0 {
			write("[infill]", rapid.SampledFrom(infills).Draw(t, "infill"))
		}
		for _, keys := range rapid.SliceOfN(rapid.SampledFrom(entries), 1, 4).Draw(t, "loads") {
			write("[[load]]", keys)
		}
		if rapid.Bool().Draw(t, "combinations") {
			write("[combinations]", []string{`rule = "6.10a/b"`})
			write("[[combinations.own]]", []string{"permanent", "factors", "situation"})
		}
		d, err := barrier.Parse("test.toml", []byte(b.String()))
		if err != nil {
			judgeProblems(t, []byte(b.String()), err)
			return
		}
		read++
		judgeDefinition(t, d)
	})
	if read == 0 {
		t.Error("none of the files could be read")
	}
}
