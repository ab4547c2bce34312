package check

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
)

// The pole formula against two public calculation sheets of IBC 1807.3.2.1.
func TestPoleAgainstSheets(t *testing.T) {
	// P 1.33 kN at 8.00 m, square footing 0.6 m (b its diagonal, 0.849 m), 31.4 kPa per m, trial
	// depth 1.55 m: S1 16.223 kPa, A 0.226 m, d 1.52 m.
	const source = "public calculation sheet, IBC nonconstrained pole"
	outside := compared(t, verification.Feet, "poles in earth")
	p := pole{bearing: 31.4e3, width: 0.6 * math.Sqrt2}
	s := p.pressure(1.55)
	outside.near("S1, kPa", s/1e3, 16.223, 0.0005, source)
	outside.near("A, m", 2.34*1330/(s*p.width), 0.226, 0.0005, source)
	outside.near("d, m", p.depth(1330, 1330*8, s), 1.52, 0.005, source)
	if d := p.needed(1330, 1330*8); !(d <= 1.55 && d > 1.52) {
		t.Errorf("depth that its own pressure confirms %v m, want between 1.52 and the trial 1.55", d)
	}
	// P 100 kip at 62.11 ft, b 6 ft, 0.2 ksf/ft doubled, 12 ft cap: d 30.55 ft. The sheet stops
	// its iteration early; 0.5 % is allowed.
	const kip, ft = 4448.2216152605, 0.3048
	deep := pole{bearing: 2 * 0.2 * kip / (ft * ft * ft), width: 6 * ft}
	outside.near("d of a deep pole, ft", deep.needed(100*kip, 100*kip*62.11*ft)/ft, 30.55, 0.005*30.55, "public sheet, IBC nonconstrained, deep")
}

// The depth found is a fixed point of the formula as the code prints it, below the cap and above
// it, and an iteration from any start comes to it.
func TestPoleIterates(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	for range 300 {
		p := pole{bearing: math.Exp(random.NormFloat64()) * 30e3, width: 0.05 + random.Float64(), constrained: random.IntN(2) == 0}
		force, moment := math.Exp(3*random.NormFloat64())*1e3, math.Exp(3*random.NormFloat64())*1e3
		if random.IntN(5) == 0 {
			force = 0
		}
		d := p.needed(force, moment)
		if again := p.depth(force, moment, p.pressure(d)); !within(again, d, 1e-9) {
			t.Errorf("%+v under %v N and %v Nm: %v m, whose pressure gives %v", p, force, moment, d, again)
		}
		trial := 0.1 + 10*random.Float64()
		for range 500 {
			trial = (trial + p.depth(force, moment, p.pressure(trial))) / 2
		}
		if !within(trial, d, 1e-9) {
			t.Errorf("%+v under %v N and %v Nm: iteration comes to %v m, not %v", p, force, moment, trial, d)
		}
		more := p.needed(1.1*force, 1.1*moment)
		if more <= d || p.needed(force, 1.1*moment) <= d || p.needed(1.1*force, moment) < d {
			t.Errorf("%+v: more load needs less depth", p)
		}
		better := pole{1.1 * p.bearing, p.width, p.constrained}
		if better.needed(force, moment) >= d {
			t.Errorf("%+v: better ground needs more depth", p)
		}
	}
	if d := (pole{bearing: 30e3, width: 0.3}).needed(0, 0); d != 0 {
		t.Errorf("no load needs %v m", d)
	}
}

// inEarth is a barrier of lone posts in earth.
func inEarth(keys string) scenario {
	s := lonePosts()
	s.scope, s.knee = "leave_out = [\"fitting\", \"geometry\"]", ""
	s.base = "kind = \"earth\"\nstiffness = \"150 kNm/rad\"\nearth = { " + keys + " }"
	return s
}

const concreteFooting = `depth = "1 m", diameter = "300 mm", embedded = "600 mm", strength = "20 MPa", soil = "sandy gravel"`

// A post in earth from its file to its row: the depth by the formula under the unfactored 600 N
// at 1.1 m, with the ground lower where the file says so.
func TestPostInEarth(t *testing.T) {
	const psfPerFt = 157.0874606
	for _, c := range []struct {
		keys           string
		force, moment  float64
		bearing, width float64
		constrained    bool
		depth          float64
	}{
		{concreteFooting, 600, 600 * 1.1, 200 * psfPerFt, 0.3, false, 1},
		{concreteFooting + `, ground = "-150 mm"`, 600, 600 * 1.25, 200 * psfPerFt, 0.3, false, 1},
		{concreteFooting + `, isolated = true`, 600, 600 * 1.1, 400 * psfPerFt, 0.3, false, 1},
		{concreteFooting + `, constrained = true`, 600, 600 * 1.1, 200 * psfPerFt, 0.3, true, 1},
		{`depth = "1.2 m", diameter = "48.3 mm", bearing = "40 kPa/m"`, 600, 600 * 1.1, 40e3, 0.0483, false, 1.2},
		{`depth = "0.9 m", side = "300 mm", soil = "clay", embedded = "600 mm", strength = "20 MPa"`, 600, 600 * 1.1, 100 * psfPerFt, 0.3 * math.Sqrt2, false, 0.9},
	} {
		r := inEarth(c.keys).check(t)
		row := r.row(t, "base-earth-depth", "post 1")
		want := pole{c.bearing, c.width, c.constrained}.needed(c.force, c.moment)
		if !within(row.Demand, want*1e3, 2e-8) || !within(row.Resistance, c.depth*1e3, 1e-12) || row.Unit != "mm" {
			t.Errorf("%s: %v of %v %s, want %v mm", c.keys, row.Demand, row.Resistance, row.Unit, want*1e3)
		}
		if row.LimitState != "SLS" {
			t.Errorf("%s: judged in %s %s, the formula is one of working loads", c.keys, row.LimitState, row.Combination)
		}
		if r.Governing.Deflection.ID != "post-deflection" && r.Governing.Deflection.ID != "rail-deflection" {
			t.Errorf("%s: the depth is taken for a movement: %+v", c.keys, r.Governing.Deflection)
		}
		failed := row.Status == Fail
		if failed != (r.Status == Fail) || !failed && r.Status != Pass {
			t.Errorf("%s: depth %s, status %s, %+v", c.keys, row.Status, r.Status, r.Unchecked)
		}
	}
	r := inEarth(`depth = "1 m", diameter = "300 mm", soil = "sand"`).check(t)
	if r.Status == Pass || item(r.Unchecked, "socket: moment") == nil {
		t.Errorf("%s though nothing says how the post stands in its concrete: %+v", r.Status, r.Unchecked)
	}
}

// Ground whose surface is not given is where the posts are held: the formula takes the moment
// there, as the file's assumptions say.
func TestGroundIsWherePostsAreHeld(t *testing.T) {
	for _, level := range []string{"0 mm", "-50 mm", "-300 mm"} {
		text := func(more string) string {
			return strings.Replace(inEarth(concreteFooting+more).toml(), `level = "0 mm"`, `level = "`+level+`"`, 1)
		}
		silent := result(t, parse(t, text("")), Options{}).row(t, "base-earth-depth", "post 1")
		said := result(t, parse(t, text(`, ground = "`+level+`"`)), Options{}).row(t, "base-earth-depth", "post 1")
		if !within(silent.Demand, said.Demand, 1e-12) {
			t.Errorf("level %s: %v mm where ground is left out, %v mm where it is that level (statics: the lever of the load is its height above the ground)", level, silent.Demand, said.Demand)
		}
	}
}

// A post that is lifted asks for the weight of its footing, which holds it by the factor of the
// basis on a weight that relieves.
func TestLiftedFooting(t *testing.T) {
	s := inEarth(concreteFooting)
	s.load = "kind = \"point\"\nvalue = \"900 N\"\ndirection = \"up\"\nname = \"lift\""
	r := s.check(t)
	it := item(r.Unchecked, "ground: uplift")
	if it == nil || it.Demand < 1000 || item(r.Unchecked, "socket: uplift") == nil {
		t.Fatalf("no uplift unchecked: %+v", r.Unchecked)
	}
	s = inEarth(concreteFooting + `, mass = "170 kg"`)
	s.load = "kind = \"point\"\nvalue = \"900 N\"\ndirection = \"up\"\nname = \"lift\""
	row := s.check(t).row(t, "base-earth-uplift", "post 1")
	if !within(row.Resistance, 0.9*170*9.80665, 2e-8) || !within(row.Demand, it.Demand, 2e-8) || row.LimitState != "EQU" {
		t.Errorf("%+v, want %v N against 0.9 times the weight (EN 1990 Table A1.2(A))", row, it.Demand)
	}
}

// Under AISC-ASD the pole formula is judged under its own combinations, elsewhere under
// unfactored actions.
func TestWorkingLevel(t *testing.T) {
	d := inEarth(concreteFooting).definition(t)
	for basis, want := range map[loads.Basis]string{loads.BasisEN: "characteristic", loads.BasisASD: "strength"} {
		d.Basis = basis
		got := map[bool]string{true: "strength", false: "characteristic"}[(&run{d: d}).workingLevel() == 0]
		if got != want {
			t.Errorf("%s: level of %s", basis, got)
		}
	}
}
