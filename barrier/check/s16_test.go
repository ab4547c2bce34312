package check

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
)

func mustS16(t testing.TB, m *barrier.Member) *CSAS16 {
	t.Helper()
	tube, err := NewCSAS16(m)
	if err != nil {
		t.Fatal(err)
	}
	return tube
}

// Bending of an A500 tube on its design wall.
func TestS16AgainstPublishedExample(t *testing.T) {
	outside := compared(t, verification.Resistances, "round tube, CSA S16")
	const source = "public engineer's worked example: round 1.900x0.188 A500 C, design wall 0.9 of nominal, Fy 317 MPa, CSA S16"
	tube := mustS16(t, of200(t, 1.9*25.4, 0.9*0.188*25.4, 317, "ASTM A500"))
	s := analysis.State{My: 1000}
	outside.near("Mr, kNm", 1/tube.Bending(&s, nil), 2.38, 0.005, source)
	outside.near("Z, mm³", tube.ring.Wpl*1e9, 8332.8, 0.7, source+"; it rounds Z to 0.5085 in³")
	outside.near("limit of class 1", class1S16/317.0, 41.0, 0.05, source)
	if tube.class != 1 {
		t.Errorf("class %d, want 1 (source: %s)", tube.class, source)
	}
}

// Classes at each limit and just beyond.
func TestS16Classes(t *testing.T) {
	outside := compared(t, verification.Formulas, "CSA S16 classes")
	const source = "CSA S16 Table 2: 13 000, 18 000 and 66 000/Fy, public"
	const fy = 350.0
	at := func(limit float64) *CSAS16 {
		return mustS16(t, of200(t, limit/fy, 1, fy, ""))
	}
	for _, c := range []struct {
		limit        float64
		below, above int
	}{{13_000, 1, 2}, {18_000, 2, 3}} {
		if lower, upper := at(c.limit*(1-1e-9)), at(c.limit*(1+1e-9)); lower.class != c.below || upper.class != c.above {
			t.Errorf("about %v/Fy: classes %d and %d, want %d and %d (source: %s)", c.limit, lower.class, upper.class, c.below, c.above, source)
		}
	}
	outside.near("Mr of class 2 over φ Z Fy", at(17_900).Mr/(0.9*350e6*at(17_900).ring.Wpl), 1, 1e-12, "CSA S16 13.5 (a), public")
	outside.near("Mr of class 3 over φ S Fy", at(18_100).Mr/(0.9*350e6*at(18_100).ring.Wel), 1, 1e-12, "CSA S16 13.5 (b), public")
	if tube := at(66_000 * (1 - 1e-9)); tube.class != 3 {
		t.Errorf("class %d just below 66 000/Fy, want 3 (source: %s)", tube.class, source)
	}
	_, err := newS16(of200(t, 66_001/fy, 1, fy, ""))
	var class *ClassError
	if !errors.As(err, &class) || !strings.Contains(err.Error(), "CSA S16 Table 2") || math.Abs(class.Limit-66_000/fy) > 1e-9 {
		t.Errorf("D/t over 66 000/Fy gives %v, want a *ClassError that names Table 2 (source: %s)", err, source)
	}
	const axial = "CSA S16 Table 1, 23 000/Fy (public), and 13.3.5 (b), memory"
	outside.near("Cr at 23 000/Fy over φ A Fy", at(23_000).Cr/(0.9*350e6*at(23_000).ring.Area), 1, 1e-12, axial)
	outside.near("Cr at 46 000/Fy over φ A Fy", at(46_000).Cr/(0.9*350e6*at(46_000).ring.Area), 0.5, 1e-12, axial)
}

// The column curve by its clause, and for class H.
func TestS16Compression(t *testing.T) {
	outside := compared(t, verification.Formulas, "CSA S16 compression")
	const source = "CSA S16 13.3.1, public, worked as printed"
	m := of200(t, 48.3, 3.2, 350, "")
	tube := mustS16(t, m)
	tube.setCritical(350e6 * tube.ring.Area / 1.44) // λ = 1.2
	outside.near("Cr at λ = 1.2, n = 1.34, over φ A Fy", tube.Cr/(0.9*350e6*tube.ring.Area), math.Pow(1+math.Pow(1.2, 2.68), -1/1.34), 1e-12, source)
	m.Grade.Standard, m.Grade.Name = "CSA G40.21", classH
	hot := mustS16(t, m)
	hot.setCritical(tube.Critical)
	outside.near("Cr at λ = 1.2, n = 2.24, over φ A Fy", hot.Cr/(0.9*350e6*hot.ring.Area), math.Pow(1+math.Pow(1.2, 4.48), -1/2.24), 1e-12, source)
	outside.near("Cr at no length over φ A Fy", mustS16(t, m).Cr/(0.9*350e6*hot.ring.Area), 1, 1e-12, source)
	tube.setCritical(1e-4 * 350e6 * tube.ring.Area)
	outside.near("Cr of a very long column over φ Ce", tube.Cr/(0.9*tube.Critical), 1, 1e-4, "it tends to Euler's force")
}

// The interaction at its end points, by hand.
func TestS16Interaction(t *testing.T) {
	outside := compared(t, verification.Formulas, "CSA S16 interaction")
	tube := mustS16(t, of200(t, 48.3, 3.2, 350, ""))
	A := tube.ring.Area
	Mr, Vr, Qr, Tr := 0.9*350e6*tube.ring.Wpl, 0.9*0.66*350e6*A/2, 0.9*350e6/math.Sqrt(3)*tube.ring.Wt, 0.9*350e6*A
	for _, c := range []struct {
		what, source string
		s            analysis.State
		want         float64
	}{
		{"Mf alone", "CSA S16 13.5, public", analysis.State{My: 0.6 * Mr, Mz: 0.8 * Mr}, 1},
		{"tension", "CSA S16 13.2, memory", analysis.State{N: Tr}, 1},
		{"compression of no length", "CSA S16 13.3.1, public", analysis.State{N: -Tr}, 1},
		{"tension and moment", "CSA S16 13.9.1, memory", analysis.State{N: 0.3 * Tr, Mz: 0.7 * Mr}, 1},
		{"compression and moment", "CSA S16 13.8.3, memory: no 0.85 on the moment of a tube", analysis.State{N: -0.3 * Tr, Mz: 0.7 * Mr}, 1},
		{"Vf alone", "CSA S16 13.4, memory", analysis.State{Vy: Vr}, 1},
		{"Vf and Qf", "sum of the ratios, rule of this program", analysis.State{Vy: 0.5 * Vr, T: 0.5 * Qr}, 1},
		{"Mf, Vf and Qf", "AISC 360 H3-6 without V², rule of this program", analysis.State{My: 0.75 * Mr, T: 0.25 * Qr, Vy: 0.375 * Vr}, 0.75 + 0.25*(0.25+0.75)},
	} {
		outside.near(c.what, tube.Interaction(&c.s, nil), c.want, 1e-9, c.source)
	}
	s := analysis.State{T: 0.4 * Qr, Vz: 0.9 * Vr}
	near(t, "Qf", tube.Torsion(&s, nil), 0.4, 1e-12, "first yield at the outer fibre, rule of this program")
	outside.near("Vf", tube.Shear(&s, nil), 0.9, 1e-12, "CSA S16 13.4, memory")
}

// U1 = 1/(1 - Cf/Ce), and nothing borne from Ce on.
func TestS16SecondOrder(t *testing.T) {
	outside := compared(t, verification.Formulas, "CSA S16 second order")
	const source = "CSA S16 13.8.4 with ω1 = 1, memory"
	tube := mustS16(t, of200(t, 48.3, 3.2, 350, ""))
	tube.setCritical(30e3)
	s := analysis.State{N: -1500, My: 300, Mz: 400}
	outside.near("bending at Cf/Ce = 0.05", tube.Bending(&s, nil)*tube.Mr, 500/0.95, 1e-9, source)
	outside.near("interaction", tube.Interaction(&s, nil), 1500/tube.Cr+500/0.95/tube.Mr, 1e-12, source+", 13.8.3")
	outside.near("bending upTo 1", tube.upTo(1).Bending(&s, nil)*tube.Mr, 500, 1e-9, source)
	for _, j := range []named{{id: "bending", judge: tube.Bending}, {id: "interaction", judge: tube.Interaction}, {id: "yield", judge: tube.Yield}} {
		holdCritical(t, j.id, j.judge, tube.Critical, 1)
	}
}

func (t *CSAS16) judges() []named {
	return []named{
		{id: "bending", judge: t.Bending}, {id: "shear", judge: t.Shear}, {id: "torsion", judge: t.Torsion},
		{id: "interaction", judge: t.Interaction}, {id: "buckling", judge: t.Buckling}, {id: "yield", judge: t.Yield}, {id: "amplified moment", judge: amplifiedMoment(t)},
	}
}

func (t *CSAS16) scales() *Tube { return &Tube{NRd: t.Tr, VRd: t.Vr, TRd: t.Tq, MRd: t.Mr} }

func s16Tubes(t testing.TB) (tubes []*CSAS16) {
	for _, c := range []struct{ od, wall, fy, critical float64 }{
		{48.3, 3.2, 315, math.Inf(1)}, {48.3, 3.2, 350, 60e3}, {48.3, 3.2, 350, 20e3}, {100, 2, 350, 1e6}, {200, 1.6, 350, 5e5},
	} {
		tube := mustS16(t, of200(t, c.od, c.wall, c.fy, ""))
		tube.setCritical(c.critical)
		tubes = append(tubes, tube)
	}
	return tubes
}

func TestS16JudgesGrowAndDoNotJump(t *testing.T) {
	random := rand.New(rand.NewPCG(16, 2019))
	for i, tube := range s16Tubes(t) {
		holdJudges(t, random, fmt.Sprintf("tube %d", i), tube.judges(), tube.scales(), tube.Critical)
	}
}

func TestS16Trails(t *testing.T) {
	random := rand.New(rand.NewPCG(16, 2014))
	clauses := map[string]bool{}
	for _, tube := range s16Tubes(t) {
		holdTrails(t, random, tube.judges()[:6], tube.scales(), "CSA S16", clauses)
	}
	for _, clause := range []string{"CSA S16 13.5", "CSA S16 13.4", "CSA S16 13.8.3", "CSA S16 13.9.1", "CSA S16 13.3.1", ruleS16} {
		if !clauses[clause] {
			t.Errorf("no state was judged by %s: %v", clause, clauses)
		}
	}
}
