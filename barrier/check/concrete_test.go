package check

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
)

// within reports whether two values agree to a relative tolerance.
func within(got, want, tolerance float64) bool {
	return math.Abs(got-want) <= tolerance*math.Max(1, math.Abs(want))
}

// The pressure of a post in concrete, against the check numbers of the design notes and against
// statics: what the pressures add up to is what the post brings.
func TestPressureInConcrete(t *testing.T) {
	const source = "own derivation from statics: H 1000 N at h 1100 mm, L 150 mm, on 48.3 mm"
	outside := compared(t, verification.Feet, "post in concrete")
	p := inConcrete{0.150, 0.0483}
	a := FootActions{Fy: 1000, Mx: -1100}
	q, _ := p.blocks(&a)
	face, _ := p.linear(&a)
	for _, c := range []struct {
		what            string
		got, want, half float64
	}{
		{"q of two blocks, N/mm", q / 1e3, 209.1, 0.05},
		{"q0 of linear pressure, N/mm", face / 1e3, 320, 0.5},
		{"pressure of two blocks, MPa", q / p.width / 1e6, 4.33, 0.005},
		{"linear pressure, MPa", face / p.width / 1e6, 6.63, 0.005},
	} {
		outside.near(c.what, c.got, c.want, c.half, source)
	}
	random := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		p := inConcrete{0.05 + random.Float64(), 0.05}
		H, M := random.Float64()*2e3, random.NormFloat64()*1e3 // with the shear, and against it
		a := FootActions{Fx: H, My: M}
		q, _ := p.blocks(&a)
		turn := 1.0 // the block at the face presses back the way that the moment about the middle leans
		if M+H*p.depth/2 < 0 {
			turn = -1
		}
		a1, a2 := (p.depth+turn*H/q)/2, (p.depth-turn*H/q)/2
		if force := turn * q * (a1 - a2); !within(force, H, 1e-9) {
			t.Errorf("two blocks add up to %v N, the post brings %v", force, H)
		}
		if moment := turn*q*(a2*(p.depth-a2/2)-a1*a1/2) - M; math.Abs(moment) > 1e-6 {
			t.Errorf("two blocks turn by %v Nm more than the post brings, %v", moment, M)
		}
		face, end := p.linear(&a)
		if M >= 0 {
			if force := (face - end) * p.depth / 2; !within(force, H, 1e-9) {
				t.Errorf("linear pressure adds up to %v N, the post brings %v", force, H)
			}
			// pressure face - (face+end) z/L about the face
			if moment := -(face*p.depth*p.depth/2 - (face+end)*p.depth*p.depth/3); !within(moment, M, 1e-9) {
				t.Errorf("linear pressure turns by %v Nm, the post by %v", moment, M)
			}
		}
	}
}

// Shear and moment in two directions: no more is asked of the concrete than the formula says,
// for two blocks that each press one way in plan carry them at no more than that.
func TestPressureInTwoDirections(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for range 500 {
		p := inConcrete{0.1 + random.Float64(), 0.05}
		a := FootActions{Fx: random.NormFloat64() * 1e3, Fy: random.NormFloat64() * 1e3, Mx: random.NormFloat64() * 1e3, My: random.NormFloat64() * 1e3}
		x, y := a.lean()
		L := p.depth
		bx, by := 2*x+a.Fx*L, 2*y+a.Fy*L // twice the moment about the middle
		c, b2 := bx*a.Fx+by*a.Fy, bx*bx+by*by
		w := c * L * L / (b2 + math.Sqrt(b2*b2+c*c*L*L))
		a1, a2 := (L+w)/2, (L-w)/2
		front := math.Hypot(bx+a1*a.Fx, by+a1*a.Fy) / L
		back := math.Hypot(bx-a2*a.Fx, by-a2*a.Fy) / L
		if !within(front/a1, back/a2, 1e-9) {
			t.Fatalf("two blocks press by %v and %v N/m", front/a1, back/a2)
		}
		if q, _ := p.blocks(&a); front/a1 > q*(1+1e-12) {
			t.Errorf("blocks need %v N/m, the formula says %v", front/a1, q)
		}
	}
}

// The depth that is enough is that at which the pressure is what the concrete bears; a moment
// alone and a shear alone are no special cases.
func TestNeededDepth(t *testing.T) {
	for _, a := range []FootActions{{Fy: 1000, Mx: -1100}, {Mx: -900}, {Fx: 700}, {Fx: 1e-9, My: 300}, {Fy: 3, Mx: -1e-6}} {
		const q = 2.5e5
		d := neededDepth(a.Shear(), a.Moment(), q)
		if got, _ := (inConcrete{d, 0.05}).blocks(&a); !within(got, q, 1e-9) {
			t.Errorf("%+v: at the depth %v m the blocks need %v N/m, want %v", a, d, got, q)
		}
	}
	if q, _ := (inConcrete{0.2, 0.05}).blocks(&FootActions{Mx: 500}); !within(q, 4*500/0.04, 1e-12) {
		t.Errorf("a moment alone needs q = %v, want 4M/L²", q)
	}
	if q, _ := (inConcrete{0.2, 0.05}).blocks(&FootActions{}); q != 0 {
		t.Errorf("no actions need q = %v", q)
	}
}

// What concrete of 25 MPa bears by each basis.
func TestBearingOfConcrete(t *testing.T) {
	outside := compared(t, verification.Feet, "bearing of concrete")
	strength := 25e6
	for _, c := range []struct {
		basis  loads.Basis
		want   float64 // MPa
		source string
	}{
		{loads.BasisEN, 25 / 1.5, "EN 1992-1-1 3.1.6 (3.15), αcc 1.0, γC 1.5 (memory)"},
		{loads.BasisLRFD, 0.65 * 0.85 * 25, "AISC 360-22 J8, φ 0.65 (memory)"},
		{loads.BasisASD, 0.85 * 25 / 2.31, "AISC 360-22 J8, Ω 2.31 (memory)"},
		{loads.BasisCSA, 0.85 * 0.65 * 25, "CSA A23.3 10.8.1, φc 0.65 (memory)"},
		{loads.BasisAS, 0.60 * 0.9 * 25, "AS 3600 12.6, φ 0.6 (memory)"},
	} {
		r := &run{d: &barrier.Definition{Basis: c.basis}}
		b, ok := r.concreteBearing(&barrier.Concrete{Strength: &strength, Alpha: 1})
		outside.near(string(c.basis)+", 25 MPa, MPa", b.stress/1e6, c.want, 1e-11, c.source)
		if !ok || b.provenance != "memory" {
			t.Errorf("%s: %v, %s", c.basis, ok, b.provenance)
		}
		if b, _ := r.concreteBearing(&barrier.Concrete{Stress: &strength}); b.stress != strength {
			t.Errorf("%s: the user's stress is %v", c.basis, b.stress)
		}
	}
}

// inSocket is a barrier of lone posts in concrete.
func inSocket(keys string) scenario {
	s := lonePosts()
	s.scope = "leave_out = [\"fitting\", \"geometry\"]"
	s.knee = ""
	s.base = "kind = \"socket\"\nstiffness = \"150 kNm/rad\"\nsocket = { depth = \"200 mm\"" + keys + " }"
	return s
}

// A post in concrete from its file to its row: the pressure by hand under 1.5 times 600 N at
// 1.1 m, nothing of the socket but what comes to it, and no pass while the edge is open.
func TestPostInConcrete(t *testing.T) {
	outside := compared(t, verification.Feet, "lone post in concrete")
	r := inSocket(`, strength = "25 MPa", pressure = "elastic"`).check(t)
	const H, h, L, b = 900.0, 1.1, 0.2, 0.0483
	e := h + L/2
	row := r.row(t, "base-concrete-pressure", "post 1")
	outside.near("two blocks, MPa", row.Demand, H*(2*e+math.Sqrt(4*e*e+L*L))/(L*L)/b/1e6, 1e-6, "statics: H (2e + √(4e² + L²))/(L² D)")
	outside.near("what the concrete bears, MPa", row.Resistance, 25/1.5, 1e-6, "fck/γC")
	if row.Unit != "MPa" {
		t.Errorf("pressure in %s", row.Unit)
	}
	row = r.row(t, "base-concrete-elastic", "post 1")
	outside.near("linear pressure, MPa", row.Demand, H/L*(4+6*h/L)/b/1e6, 1e-6, "statics: H/L (4 + 6h/L)/D")
	if r.Status != Incomplete || len(r.Unchecked) != 1 || !strings.Contains(r.Unchecked[0].Item, "edge") {
		t.Errorf("status %s with %+v unchecked, want incomplete for the edge alone", r.Status, r.Unchecked)
	}
	if r := inSocket(`, strength = "25 MPa", cover = "121 mm"`).check(t); r.Status != Pass || r.has("base-concrete-elastic") {
		t.Errorf("with cover of 2.5 diameters: %s, %+v", r.Status, r.Unchecked)
	}
	if r := inSocket(`, strength = "25 MPa", cover = "120 mm"`).check(t); r.Status != Incomplete {
		t.Errorf("with cover of less than 2.5 diameters: %s", r.Status)
	}
	open := inSocket(`, cover = "200 mm"`).check(t)
	it := item(open.Unchecked, "concrete: pressure of the post (two blocks)")
	if want := H * (2*e + math.Sqrt(4*e*e+L*L)) / (L * L) / b / 1e6; it == nil || !within(it.Demand, want, 2e-8) || it.Unit != "MPa" || open.Status != Incomplete {
		t.Errorf("without strength: %s, %+v, want the stress that is needed, %v MPa", open.Status, open.Unchecked, want)
	}
}

// A concrete that is too weak fails, and the depth that would do passes.
func TestPostInWeakConcrete(t *testing.T) {
	s := inSocket(`, stress = "1.5 MPa", cover = "200 mm"`)
	r := result(t, s.definition(t), Options{Trails: true})
	row := r.row(t, "base-concrete-pressure", "post 1")
	if row.Status != Fail {
		t.Fatalf("%+v", row)
	}
	needed := 0.0
	for _, trail := range r.Trails {
		for _, step := range trail.Steps {
			if trail.ID == row.ID && trail.Element == row.Element && step.Symbol == "Lmin" {
				needed = step.Value
			}
		}
	}
	d := s.definition(t)
	d.Post.Base.Concrete.Depth = needed / 1e3
	if u := result(t, d, Options{}).row(t, "base-concrete-pressure", "post 1").Utilisation; !within(*u, 1, 2e-8) {
		t.Errorf("at the depth that would be enough, %v mm, utilisation %v", needed, *u)
	}
}

// Below the face the moment of a post grows until its shear is used up: the largest of M + H z - q z²/2,
// looked for along the depth (statics).
func TestLargestMomentInConcrete(t *testing.T) {
	p := inConcrete{0.3, 0.0483}
	a := FootActions{Fy: 900, Mx: -900}
	q, _ := p.blocks(&a)
	largest := 0.0
	for i := range 30001 {
		z := p.depth * float64(i) / 30000
		largest = math.Max(largest, 900+900*z-q*z*z/2)
	}
	near(t, "largest moment, Nm", p.buried(&a), largest, 1e-4, "statics")
}
