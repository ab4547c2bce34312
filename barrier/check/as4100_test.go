package check

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
)

// as4100 is a tube of AS 4100's own moduli, mm and MPa.
func as4100(t testing.TB, od, wall, fy float64, standard string) *AS4100 {
	t.Helper()
	return NewAS4100(of200(t, od, wall, fy, standard))
}

func of200(t testing.TB, od, wall, fy float64, standard string) *barrier.Member {
	t.Helper()
	m := steel(t, od, wall, fy)
	m.Grade.E = 200e9
	m.Tube.Standard = standard
	return m
}

// capacityTable is the published table of φNc of Grade C250L0 cold formed CHS, kN, by
// effective length, m.
var capacityTable = struct {
	lengths []float64
	rows    []capacityRow
}{
	[]float64{0, 0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0, 4.0, 5.0},
	[]capacityRow{
		{60.3, 3.6, []float64{144, 144, 141, 137, 131, 123, 113, 100, 87.1, 63.0, 46.0, 26.8, 17.5}},
		{48.3, 4.0, []float64{125, 125, 121, 114, 106, 93.9, 79.5, 65.1, 52.8, 35.6, 25.3, 14.5, 9.43}},
		{48.3, 3.2, []float64{102, 102, 98.4, 93.5, 86.7, 77.3, 65.9, 54.3, 44.2, 29.9, 21.2, 12.2, 7.93}},
		{42.4, 4.0, []float64{109, 108, 103, 96.1, 85.7, 72.0, 57.5, 45.2, 35.8, 23.7, 16.7, 9.58, 6.20}},
		{42.4, 3.2, []float64{88.7, 88.0, 84.4, 78.9, 70.7, 59.9, 48.2, 38.0, 30.2, 20.0, 14.2, 8.11, 5.25}},
		{33.7, 3.2, []float64{69.0, 67.8, 63.5, 56.2, 45.4, 34.0, 25.2, 19.1, 14.8, 9.69, 6.81, 3.88, 2.51}},
	},
}

type capacityRow struct {
	od, wall float64
	phiNc    []float64
}

// The 78 capacities are met within their print rounding: half of the last of three digits.
func TestAS4100CompressionAgainstPublishedTable(t *testing.T) {
	const source = "public table of Australian design capacities, Grade C250L0 cold formed CHS, φNc"
	worst := 0.0
	for _, row := range capacityTable.rows {
		tube := as4100(t, row.od, row.wall, 250, "AS/NZS 1163")
		for i, le := range capacityTable.lengths {
			tube.setCritical(math.Inf(1))
			if le > 0 {
				tube.setCritical(math.Pi * math.Pi * 200e9 * tube.ring.I / (le * le))
			}
			s := analysis.State{N: -1}
			got, want := 1e-3/tube.Buckling(&s, nil), row.phiNc[i]
			digit := math.Pow(10, math.Floor(math.Log10(want))-2)
			if !(math.Abs(got-want) <= 0.505*digit) {
				t.Errorf("φNc of %vx%v, le = %v m, is %.5g kN, want %v (source: %s)", row.od, row.wall, le, got, want, source)
			}
			worst = math.Max(worst, math.Abs(got/want-1))
		}
	}
	t.Logf("78 values, largest difference %.2f %% (%s)", 100*worst, source)
	if worst > 0.005 {
		t.Errorf("largest difference %v, want print rounding, 0.5 %% (source: %s)", worst, source)
	}
}

// φTu of 168.3x6.4 C350 and its twist.
func TestAS4100TorsionAgainstPublishedNote(t *testing.T) {
	outside := compared(t, verification.Resistances, "torsion note, AS 4100")
	const source = "public consultancy note on torsion of CHS: 168.3x6.4 C350, T* 20 kNm, L 3.0 m"
	tube := as4100(t, 168.3, 6.4, 350, "AS/NZS 1163")
	s := analysis.State{T: 20e3}
	outside.near("φTu, kNm", 20/tube.Torsion(&s, nil), 48, 0.5, source)
	outside.near("C, mm³", tube.ring.Wt*1e9, 254e3, 500, source)
	outside.near("twist, rad", 20e3*3/(80e9*tube.ring.J), 0.035, 0.0005, source)
}

// Ze at the limits of λs and beyond, worked from the clauses.
func TestAS4100SectionLimits(t *testing.T) {
	outside := compared(t, verification.Formulas, "AS 4100 limits of sections")
	const source = "AS 4100 5.2.3 to 5.2.5, Table 5.2, memory"
	at := func(lambda float64) *AS4100 { return as4100(t, lambda, 1, 250, "AS/NZS 1163") } // fy 250: λs = do/t
	for _, c := range []struct{ lambda, over float64 }{{plasticityLimitAS, 1e-9}, {yieldLimitAS, 1e-9}} {
		below, above := at(c.lambda), at(c.lambda*(1+c.over))
		if r := above.Ze / above.ring.Wel / (below.Ze / below.ring.Wel); math.Abs(r-1) > 1e-6 {
			t.Errorf("Ze/Z jumps by %v at λs = %v (source: %s)", r, c.lambda, source)
		}
	}
	compact := at(50)
	outside.near("Ze/S at λs = 50", compact.Ze/compact.ring.Wpl, 1, 1e-12, source)
	thick := as4100(t, 20, 8, 250, "") // S/Z = 1.62
	outside.near("Ze/Z where S is above 1.5 Z", thick.Ze/thick.ring.Wel, 1.5, 1e-12, source)
	halfway := at(85)
	outside.near("Ze at λs = 85, halfway", halfway.Ze, (halfway.ring.Wel+halfway.ring.Wpl)/2, 1e-15, source)
	outside.near("Ze/Z at λs = 120", at(120).Ze/at(120).ring.Wel, 1, 1e-12, source)
	outside.near("Ze/Z at λs = 200", at(200).Ze/at(200).ring.Wel, math.Sqrt(0.6), 1e-12, source)
	outside.near("Ze/Z at λs = 480", at(480).Ze/at(480).ring.Wel, 0.25, 1e-12, source) // (240/480)² below √(120/480) = 0.5
	const axial = "AS 4100 6.2.4, memory"
	outside.near("kf at λe = 82", at(82).kf(), 1, 1e-12, axial)
	outside.near("kf over 82", at(82*(1+1e-9)).kf(), 1, 1e-8, axial)
	outside.near("kf at λe = 120", at(120).kf(), (120*math.Sqrt(82.0/120)-1)/119, 1e-12, axial)
	outside.near("kf at λe = 600", at(600).kf(), (600*0.1681-1)/599, 1e-12, axial) // (3·82/600)² = 0.1681 below √(82/600)
}

// αb by how the tube was made.
func TestAS4100ForFinish(t *testing.T) {
	outside := compared(t, verification.Formulas, "AS 4100 member constants")
	const source = "AS 4100 Tables 6.3.3(1) and (2), memory"
	for _, c := range []struct {
		standard string
		od       float64
		want     float64
	}{{"EN 10210-2", 48.3, -1}, {"EN 10210-2", 300, -0.5}, {"AS/NZS 1163", 48.3, -0.5}, {"AS 1074", 48.3, -0.5}, {"", 48.3, -0.5}} {
		outside.near(fmt.Sprintf("αb of %q, do = %v", c.standard, c.od), as4100(t, c.od, 3.2, 350, c.standard).formed.alphaB, c.want, 0, source)
	}
	hot, cold := as4100(t, 48.3, 3.2, 350, "EN 10210-2"), as4100(t, 48.3, 3.2, 350, "EN 10219-2")
	hot.setCritical(40e3)
	cold.setCritical(40e3)
	if !(hot.Nc > cold.Nc) {
		t.Errorf("Nc = %v hot finished, %v cold formed: want more (source: %s)", hot.Nc, cold.Nc, source)
	}
	// Worked from 6.3.3 with λn = 80: αa = 2100·66.5/(6400 - 1224 + 2050) = 19.326,
	// λ = 60.674, η = 0.15379, ξ = 1.76933, αc = 0.80484 (by hand).
	hot.setCritical(math.Pi * math.Pi * 200e9 * hot.ring.Area * math.Pow(math.Sqrt(1.4)/80, 2))
	outside.near("αc at λn = 80, αb = -1", hot.Nc/hot.Ns, 0.80484, 5e-6, "AS 4100 6.3.3, worked as printed, memory")
	outside.near("the same as the clause prints it", hot.Nc/hot.Ns, alphaByHand(80, -1), 1e-12, "AS 4100 6.3.3, memory")
}

// alphaByHand is αc of AS 4100 6.3.3 as the clause prints it.
func alphaByHand(lambdaN, alphaB float64) float64 {
	alphaA := 2100 * (lambdaN - 13.5) / (math.Pow(lambdaN, 2) - 15.3*lambdaN + 2050)
	lambda := lambdaN + alphaA*alphaB
	eta := 0.00326 * (lambda - 13.5)
	xi := (math.Pow(lambda/90, 2) + 1 + eta) / (2 * math.Pow(lambda/90, 2))
	return xi * (1 - math.Sqrt(1-math.Pow(90/(xi*lambda), 2)))
}

// The interaction at its end points, by hand.
func TestAS4100Interaction(t *testing.T) {
	outside := compared(t, verification.Formulas, "AS 4100 interaction")
	tube := as4100(t, 48.3, 3.2, 350, "AS/NZS 1163")
	tube.setCritical(1e12)
	Ms, Vv, Tu, Nt := 0.9*350e6*tube.ring.Wpl, 0.9*0.36*350e6*tube.ring.Area, 0.9*0.6*350e6*tube.ring.Wt, 0.9*350e6*tube.ring.Area
	for _, c := range []struct {
		what, source string
		s            analysis.State
		want         float64
	}{
		{"M* alone", "AS 4100 5.1, memory", analysis.State{My: 0.6 * Ms, Mz: 0.8 * Ms}, 1},
		{"tension alone", "AS 4100 7.1, memory", analysis.State{N: Nt}, 1},
		{"compression of no length", "AS 4100 6.1, memory", analysis.State{N: -Nt}, 1},
		{"tension and moment", "AS 4100 8.3.2, memory", analysis.State{N: 0.4 * Nt, My: 0.6 * Ms}, 1},
		{"compression and moment", "AS 4100 8.4.2.2, memory", analysis.State{N: -0.4 * Nt, My: 0.6 * Ms}, 1},
		{"V* alone", "AS 4100 5.11.4, memory", analysis.State{Vz: Vv}, 1},
		{"V* at M* = 0.75 φMs", "AS 4100 5.12.3, memory", analysis.State{Vz: Vv, My: 0.75 * Ms}, 1},
		{"V* = 0.6 φVv at M* = φMs", "AS 4100 5.12.3, memory", analysis.State{Vz: 0.6 * Vv, My: Ms}, 1},
		{"V* = 0.92 φVv at M* = 0.8 φMs", "AS 4100 5.12.3, memory", analysis.State{Vz: 0.92 * Vv, My: 0.8 * Ms}, 1},
		{"T* alone", "torsion counts on its own in Torsion; here (T*/φTu)² and T*/φTu", analysis.State{T: Tu}, 1},
		{"V* and T*", "sum of the ratios, rule of this program", analysis.State{T: 0.5 * Tu, Vy: 0.5 * Vv}, 1},
		{"M*, V* and T*", "AISC 360 H3-6 without V², rule of this program", analysis.State{My: 0.75 * Ms, T: 0.25 * Tu, Vy: 0.375 * Vv}, 0.75 + 0.25*(0.25+0.75)},
	} {
		// With a critical force of 1e12 N λn is 0.35, whose αc is 1 as the clause has it.
		outside.near(c.what, tube.Interaction(&c.s, nil), c.want, 1e-9, c.source)
	}
}

// The amplifier 1/(1 - N*/Nom), and nothing borne from Nom on.
func TestAS4100SecondOrder(t *testing.T) {
	outside := compared(t, verification.Formulas, "AS 4100 second order")
	const source = "AS 4100 4.4.2, memory"
	tube := as4100(t, 48.3, 3.2, 350, "AS/NZS 1163")
	tube.setCritical(30e3)
	s := analysis.State{N: -1500, My: 300, Mz: 400}
	outside.near("bending at N*/Nom = 0.05", tube.Bending(&s, nil)*0.9*tube.Ms, 500/0.95, 1e-9, source)
	outside.near("interaction", tube.Interaction(&s, nil), 1500/(0.9*tube.Nc)+500/0.95/(0.9*tube.Ms), 1e-12, source+", 8.4.2.2")
	outside.near("bending upTo 1", tube.upTo(1).Bending(&s, nil)*0.9*tube.Ms, 500, 1e-9, source)
	for _, j := range tube.judges()[:1] {
		holdCritical(t, j.id, j.judge, tube.Critical, 1)
	}
	holdCritical(t, "interaction", tube.Interaction, tube.Critical, 1)
	holdCritical(t, "yield", tube.Yield, tube.Critical, 1)
}

func (t *AS4100) judges() []named {
	return []named{
		{id: "bending", judge: t.Bending}, {id: "shear", judge: t.Shear}, {id: "torsion", judge: t.Torsion},
		{id: "interaction", judge: t.Interaction}, {id: "buckling", judge: t.Buckling}, {id: "yield", judge: t.Yield}, {id: "amplified moment", judge: amplifiedMoment(t)},
	}
}

func (t *AS4100) scales() *Tube { return &Tube{NRd: t.Ns, VRd: t.Vv, TRd: t.Tu, MRd: t.Ms} }

// as4100Tubes are those that the properties are held for: stocky and slender walls, long and
// short columns, a grade whose fu governs tension.
func as4100Tubes(t testing.TB) (tubes []*AS4100) {
	for _, c := range []struct{ od, wall, fy, fu, critical float64 }{
		{48.3, 3.2, 250, 320, math.Inf(1)}, {48.3, 3.2, 350, 430, 60e3}, {48.3, 3.2, 350, 430, 20e3},
		{48.3, 3.2, 450, 460, math.Inf(1)}, {160, 2, 350, 430, 1e6}, {400, 1.6, 450, 500, 5e5},
	} {
		m := of200(t, c.od, c.wall, c.fy, "AS/NZS 1163")
		m.Grade.Fu = c.fu * 1e6
		tube := NewAS4100(m)
		tube.setCritical(c.critical)
		tubes = append(tubes, tube)
	}
	return tubes
}

func TestAS4100JudgesGrowAndDoNotJump(t *testing.T) {
	random := rand.New(rand.NewPCG(4100, 1998))
	for i, tube := range as4100Tubes(t) {
		holdJudges(t, random, fmt.Sprintf("tube %d", i), tube.judges(), tube.scales(), tube.Critical)
	}
}

// holdJudges asks of judges what the search counts on: they grow with each component, do not
// jump along a ray or where a component changes sign, and allocate nothing.
func holdJudges(t *testing.T, random *rand.Rand, of string, judges []named, scales *Tube, critical float64) {
	t.Helper()
	for _, j := range judges {
		id := of + " " + j.id
		for range 2000 {
			holdMonotone(t, random, id, j.judge, randomState(random, scales))
		}
		for range 20 {
			s := randomState(random, scales)
			s.N = math.Copysign(math.Min(math.Abs(s.N), 0.8*critical), s.N)
			holdContinuous(t, id, j.judge, s, scales)
		}
		s := randomState(random, scales)
		if n := testing.AllocsPerRun(20, func() { j.judge(&s, nil) }); n != 0 {
			t.Errorf("%s allocates %v times", id, n)
		}
	}
}

// holdContinuous walks from a state to its opposite: no step may be more than a small part of
// the largest value.
func holdContinuous(t *testing.T, id string, j judge, s analysis.State, scales *Tube) {
	t.Helper()
	const steps = 4000
	most, before := math.Max(j(&s, nil), 1), j(&s, nil)
	for i := 1; i <= steps; i++ {
		k := 1 - 2*float64(i)/steps
		at := analysis.State{N: k * s.N, Vy: k * s.Vy, Vz: k * s.Vz, T: k * s.T, My: k * s.My, Mz: k * s.Mz}
		u := j(&at, nil)
		most = math.Max(most, u)
		if d := math.Abs(u - before); d > 0.01*most {
			t.Fatalf("%s jumps by %v at %v of %+v", id, d, k, s)
		}
		before = u
	}
	// Across N = 0 and T = 0 with the others held.
	for _, flat := range []func(*analysis.State, float64){
		func(a *analysis.State, sign float64) { a.N = sign * 1e-7 * scales.NRd },
		func(a *analysis.State, sign float64) { a.T = sign * 1e-8 * scales.TRd },
	} {
		plus, zero, minus := s, s, s
		flat(&plus, 1)
		flat(&zero, 0)
		flat(&minus, -1)
		// What remains is the tension's or compression's own effect on a moment, none at 0.
		if a, b, c := j(&plus, nil), j(&zero, nil), j(&minus, nil); math.Abs(a-b) > 1e-5*(1+b) || math.Abs(c-b) > 1e-5*(1+b) {
			t.Fatalf("%s jumps across 0: %v, %v, %v of %+v", id, a, b, c, s)
		}
	}
}

// The working of each judge ends in its verdict, and names what it is worked from.
func TestAS4100Trails(t *testing.T) {
	random := rand.New(rand.NewPCG(4100, 2020))
	clauses := map[string]bool{}
	for _, tube := range as4100Tubes(t) {
		holdTrails(t, random, tube.judges()[:6], tube.scales(), "AS 4100", clauses)
	}
	for _, clause := range []string{"AS 4100 5.1", "AS 4100 5.11.4", "AS 4100 5.12.3", "AS 4100 8.3.2", "AS 4100 8.4.2.2", practiceAS} {
		if !clauses[clause] {
			t.Errorf("no state was judged by %s: %v", clause, clauses)
		}
	}
}

// holdTrails asks that a trail is finite, in known units, without a word of another code, and
// that the verdict's ratio is what the judge gives with a recorder and without.
func holdTrails(t *testing.T, random *rand.Rand, judges []named, scales *Tube, code string, clauses map[string]bool) {
	t.Helper()
	units := map[string]bool{"Nm": true, "N": true, "MPa": true, "mm": true, "mm²": true, "mm³": true, "mm⁴": true, "1": true}
	for _, j := range judges {
		for range 200 {
			s, r := randomState(random, scales), &Recorder{}
			u := j.judge(&s, r)
			if bare := j.judge(&s, nil); !same(bare, u) {
				t.Fatalf("%s: %v with a recorder, %v without", j.id, u, bare)
			}
			last := map[string]float64{}
			for _, step := range r.Steps {
				if step.What == "" || step.Symbol == "" || !units[step.Unit] || math.IsNaN(step.Value) {
					t.Fatalf("%s: step %+v", j.id, step)
				}
				if strings.HasPrefix(step.Clause, "EN ") || strings.HasPrefix(step.Clause, "AISC") {
					t.Fatalf("%s: step %+v is of another code than %s", j.id, step, code)
				}
				last[step.Symbol] = step.Value
			}
			if math.IsInf(u, 1) {
				continue
			}
			if !same(r.Demand/r.Resistance, u) {
				t.Fatalf("%s: %v over %v is not %v", j.id, r.Demand, r.Resistance, u)
			}
			if j.id == "interaction" {
				if most := math.Max(last["sum1"], math.Max(last["sum2"], last["sum3"])); !same(most, u) {
					t.Fatalf("interaction: the largest sum is %v, the verdict %v: %+v", most, u, r.Steps)
				}
			}
			for clause := range strings.SplitSeq(r.Clause, "; ") {
				clauses[clause] = true
			}
		}
	}
}

// The slenderness of a round wall goes by fy itself and not by its root: λs = (do/t)(fy/250). Tension is
// the lesser of yielding and 0.85 of rupture.
func TestAS4100OtherYieldStresses(t *testing.T) {
	const source = "AS 4100 5.2.2, 7.2, memory"
	tube := NewAS4100(of200(t, 180, 3, 350, ""))
	near(t, "λs of do/t = 60 at 350 MPa", tube.lambdaS, 84, 1e-9, source)
	z, s := tube.ring.Wel, tube.ring.Wpl
	near(t, "Ze there", tube.Ze/(z+36.0/70*(math.Min(s, 1.5*z)-z)), 1, 1e-12, source)
	m := of200(t, 48.3, 3.2, 350, "")
	m.Grade.Fu = 380e6
	near(t, "Nt at fu = 380 MPa over A", NewAS4100(m).Nt/m.Ring.Area, 0.85*380e6, 1, source)
	m.Grade.Fu = 430e6
	near(t, "Nt at fu = 430 MPa over A", NewAS4100(m).Nt/m.Ring.Area, 350e6, 1, source)
}
