package check

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/sections"
)

// At 0.6 of a proof strength of 220 MPa with n = 7: 132 MPa, 1 + 0.002 × 200 000/132 × 0.6⁷ =
// 1 + 3.0303 × 0.0279936 = 1.08483, a loss of 1 - 1/1.08483 = 7.8 %, about 8 % (EN 1993-1-4
// 4.2(5) from memory, by hand, derived). At the proof strength itself the strain is 0.002 more:
// E/Es = 1 + 0.002 × 200 000/220 = 2.81818 (the definition of that strength).
func TestSecantModulusByHand(t *testing.T) {
	outside := compared(t, verification.Formulas, "secant modulus of stainless steel")
	const E, fy = 200e9, 220e6
	outside.near("E/Es at 0.6 fy", E/secantModulus(E, fy, 7, 0.6*fy), 1.08483, 5e-6, "hand, derived")
	outside.near("E/Es at fy", E/secantModulus(E, fy, 7, -fy), 2.81818, 5e-6, "0.2 % proof strength, definition")
	outside.near("E/Es at rest", E/secantModulus(E, fy, 7, 0), 1, 0, "definition")
	outside.near("strain at fy", fy/secantModulus(E, fy, 5, fy), fy/E+0.002, 1e-12, "0.2 % proof strength, definition")
	g := &sections.Grade{E: E, Fy: fy}
	// the mean of 1/2.81818 at fy and 1 at rest: Es/E = 0.677419
	outside.near("E/Es of both sides", softeningAt(g, 7, fy/2, fy/2), 1/0.677419, 5e-6, "EN 1993-1-4 4.2(5) (4.1), by hand, derived")
}

// Every listed grade of stainless tube has an exponent of its own, and any other takes the
// least.
func TestStrainHardening(t *testing.T) {
	least := math.Inf(1)
	for _, row := range strainHardenings() {
		least = math.Min(least, row.n)
		if row.provenance != "memory" || row.source == "" {
			t.Errorf("%s: provenance %q, source %q", row.grade, row.provenance, row.source)
		}
	}
	for _, g := range sections.Grades() {
		if g.Material != sections.Stainless || g.Use != sections.UseTube {
			continue
		}
		if got := hardeningOf(&g); got.n != 7 || got.family != "austenitic" {
			t.Errorf("%s: n = %g of %s, want 7 of an austenitic grade (EN 1993-1-4 A1, memory)", g.Name, got.n, got.family)
		}
	}
	if got := hardeningOf(&sections.Grade{Name: "fy 300 MPa"}); got.n != least {
		t.Errorf("an own grade has n = %g, want the least, %g", got.n, least)
	}
}

// inStainless is a scenario of stainless tube of the same size.
func inStainless(t *testing.T, s scenario) *barrier.Definition {
	t.Helper()
	s.grade = "1.4404"
	return parse(t, strings.ReplaceAll(s.toml(), "EN 10219 48.3x3.2", "EN 10217 48.3x3.2"))
}

// A lone post of 1.4404 (fy 190 MPa) under 600 N at 1.1 m on a foot of 150 kNm/rad, by hand
// (statics; EN 1993-1-4 4.2(5) from memory; derived): M = 660 Nm, Wel = 4.80 cm³ (SCI), σ = 137.5
// MPa = 0.7237 fy, E/Es = 1 + 0.002 × 200 000/137.5 × 0.7237⁷ = 1.302. Ph³/3EI + Ph²/k = 11.47 +
// 4.84 = 16.31 mm, times E/Es. Own weight presses with some 0.1 MPa beside it.
func TestMovementOfStainlessPosts(t *testing.T) {
	outside := compared(t, verification.Barriers, "movement of stainless posts")
	d := inStainless(t, lonePosts())
	r, err := Run(d, Options{Trails: true, Diagrams: true})
	if err != nil {
		t.Fatal(err)
	}
	i := d.Post.Ring.I
	elastic := 600*math.Pow(1.1, 3)/(3*200e9*i) + 600*1.1*1.1/150e3
	sigma := 660 / d.Post.Ring.Wel
	ratio := 1 + 0.002*200e9/sigma*math.Pow(sigma/190e6, 7)
	outside.near("E/Es", ratio, 1.302, 0.003, "hand, derived")
	outside.near("top of a post, mm", r.Posts[1].TopDeflection, elastic*ratio*1e3, 2e-3*elastic*1e3, "hand, derived")
	found := false
	for i := range r.Checks {
		if row := &r.Checks[i]; row.ID == "post-deflection" && row.Element == "post 2" {
			found = true
			near(t, "post-deflection of post 2, mm", row.Demand, r.Posts[1].TopDeflection, 1e-9*row.Demand, "the printed movement")
			if row.Provenance != "memory" {
				t.Errorf("provenance %q, want memory: n is", row.Provenance)
			}
		}
	}
	if !found {
		t.Error("post 2 has no check of its movement")
	}
	symbols := map[string]float64{}
	for _, trail := range r.Trails {
		if trail.ID == "post-deflection" && trail.Element == "post 2" {
			for _, s := range trail.Steps {
				symbols[s.Symbol] = s.Value
			}
		}
	}
	near(t, "kE of the trail", symbols["kE"], symbols["E"]/symbols["Es"], 1e-8*ratio, "its own formula")
	outside.near("kE of the trail", symbols["kE"], ratio, 2e-3, "hand, derived")
	if said := strings.Join(r.Assumptions, "\n"); !strings.Contains(said, "multiplied by E/Es of stainless steel") {
		t.Error("nothing says that movements are multiplied")
	}
	largest := 0.0
	for _, g := range r.Diagrams {
		if g.Quantity == "movement across" {
			for _, v := range g.Values {
				largest = math.Max(largest, math.Abs(v))
			}
		}
	}
	if largest < 1.2*elastic*1e3 {
		t.Errorf("the diagrams show %g mm, less than the tables", largest)
	}
}

// Carbon steel keeps its movements: nothing is multiplied.
func TestNoSofteningOfCarbonSteel(t *testing.T) {
	r := throughRails().check(t)
	if said := strings.Join(r.Assumptions, "\n"); strings.Contains(said, "E/Es") {
		t.Error("a barrier of carbon steel has a secant modulus")
	}
}

// The least foot stiffness, given as the stiffness, puts the movement of a stainless barrier
// just within its limit: E/Es is found again on those feet.
func TestLeastStiffnessOfStainlessPosts(t *testing.T) {
	for name, s := range map[string]scenario{"cut": lonePosts(), "through": throughRails()} {
		s.base = ""
		open, err := Run(inStainless(t, s), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if open.Foot.LeastStiffness == nil {
			t.Fatalf("%s: no least stiffness", name)
		}
		s.base = fmt.Sprintf("stiffness = \"%.9f Nm/rad\"", *open.Foot.LeastStiffness)
		held, err := Run(inStainless(t, s), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if u := *held.Governing.Deflection.Utilisation; u > 1+1e-6 || u < 1-1e-5 {
			t.Errorf("%s: at the least stiffness the movement is %.9f of its limit, want 1 or just less", name, u)
		}
	}
}

// A bound of E/Es is no less than E/Es at any state whose components are no larger.
func TestSofteningGrowsWithStress(t *testing.T) {
	g := &sections.Grade{E: 200e9, Fy: 190e6}
	for axial := -100e6; axial <= 100e6; axial += 5e6 {
		for bending := 0.0; bending <= 200e6; bending += 10e6 {
			of, bound := softeningAt(g, 7, axial, bending), softeningAt(g, 7, 0, bending+math.Abs(axial))
			if of > bound*(1+1e-12) {
				t.Fatalf("N/A %g, M/W %g: E/Es %g above its bound %g", axial, bending, of, bound)
			}
		}
	}
}

// A movement in second order goes by the secant modulus too, what is printed with it.
func TestSofteningInSecondOrder(t *testing.T) {
	s := pressedPosts("6 kN", "150 kNm/rad")
	r, err := Run(inStainless(t, s), Options{Trails: true})
	if err != nil {
		t.Fatal(err)
	}
	row := r.row(t, "post-deflection", "post 2")
	if row.SecondOrder == "" {
		t.Fatalf("not in second order: %+v", row)
	}
	for _, trail := range r.Trails {
		if trail.ID != "post-deflection" || trail.Element != "post 2" {
			continue
		}
		values := map[string]float64{}
		for _, step := range trail.Steps {
			values[step.Symbol] = step.Value
		}
		if values["kE"] < 1.001 {
			t.Errorf("E/Es = %g", values["kE"])
		}
		near(t, "movement, mm", row.Demand, values["δ"]*values["kE"], 1e-7*row.Demand, "its own trail")
		near(t, "printed movement, mm", r.Posts[1].TopDeflection, row.Demand, 1e-3*row.Demand, "the check at the top")
	}
}
