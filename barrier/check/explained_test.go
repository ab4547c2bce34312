package check

import (
	"math"
	"slices"
	"testing"

	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/loads"
)

// The working of a check holds the lines of the published example that it follows: each
// printed value stands in it as a step of that symbol, and demand, resistance and utilisation
// are those printed. Tolerances are half of the last printed digit with, where the source goes
// on with a rounded value, what half of that one's last digit makes of it.
type printedStep struct {
	symbol string
	want   float64
	unit   float64 // of the step, in those of the source
	tol    float64
}

// explains holds the steps of a judge under a state to those of a source.
func explains(t *testing.T, source string, j judge, s analysis.State, want []printedStep, used, tol float64) {
	t.Helper()
	r := &Recorder{}
	u := j(&s, r)
	near(t, "utilisation", u, used, tol, source)
	if err := checkNoted(r, &s); err != nil {
		t.Errorf("%v (source: %s)", err, source)
	}
	for _, p := range want {
		at := slices.IndexFunc(r.Steps, func(s Step) bool { return s.Symbol == p.symbol })
		if at < 0 {
			t.Errorf("no step %s, which the source prints as %v (source: %s)", p.symbol, p.want, source)
			continue
		}
		near(t, p.symbol, r.Steps[at].Value*p.unit, p.want, p.tol, source)
	}
}

// Units of steps in those of American examples.
const (
	perInch     = 1 / 25.4
	perInch2    = perInch * perInch
	perInch3    = perInch * perInch2
	inKsi       = 1e6 / ksi
	inKipFoot   = 1 / kipFoot
	inKipInch   = 1 / kipInch
	inKips      = 1 / kip
	plainNumber = 1
)

// AISC Design Examples v16, F.9A and F.9B: pipe 8 x-strong of A53 Gr. B over 16 ft, public. The
// source takes Z = 31.0 in³.
func TestExplainFollowsPipeFlexure(t *testing.T) {
	const source = designExamples + "F.9A and F.9B, public"
	const perZ = 0.05 * 35 / 12 // kip-ft, Z to a tenth of a cubic inch
	common := []printedStep{
		{"Fy", 35, inKsi, 1e-9}, {"E", 29000, inKsi, 1e-6}, {"D/t", 18.5, plainNumber, 0.05}, {"λp", 58.0, plainNumber, 0.05},
		{"Z", 31.0, perInch3, 0.05}, {"Mn", 90.4, inKipFoot, 0.05 + perZ},
	}
	explains(t, source, xStrong8(t, loads.BasisLRFD).Bending, analysis.State{Mz: 61.4 * kipFoot},
		append(common, printedStep{"φb", 0.90, plainNumber, 0}, printedStep{"Mc", 81.4, inKipFoot, 0.05 + 0.9*perZ}, printedStep{"Mr", 61.4, inKipFoot, 1e-9}),
		61.4/81.4, (0.05+0.9*perZ)/81.4)
	explains(t, source, xStrong8(t, loads.BasisASD).Bending, analysis.State{Mz: 41.0 * kipFoot},
		append(common, printedStep{"Ωb", 1.67, plainNumber, 0}, printedStep{"Mc", 54.1, inKipFoot, 0.05 + perZ/1.67}, printedStep{"Mr", 41.0, inKipFoot, 1e-9}),
		41.0/54.1, (0.05+perZ/1.67)/54.1)
}

// AISC Design Examples v16, G.5: HSS16.000x0.375 of A500 Gr. C, shear, public. The source takes
// Ag = 17.2 in² and D/t = 45.8.
func TestExplainFollowsShear(t *testing.T) {
	const source = designExamples + "G.5, public"
	const perA, byRatio = 0.05 * 30 / 2, 0.05 / 45.8
	explains(t, source, hss16(t, loads.BasisLRFD).Shear, analysis.State{Vy: 180 * kip}, []printedStep{
		{"Fy", 50, inKsi, 1e-9}, {"Lv", 192, perInch, 1e-9}, {"Ag", 17.2, perInch2, 0.05},
		{"Fcr,a", 112, inKsi, 0.5 + 5.0/4*byRatio*112}, {"Fcr,b", 73.0, inKsi, 0.05 + 3.0/2*byRatio*73}, {"Fcr", 30.0, inKsi, 0.05},
		{"Vn", 258, inKips, 0.5 + perA}, {"φv", 0.90, plainNumber, 0}, {"Vc", 232, inKips, 0.5 + 0.9*perA}, {"Vr", 180, inKips, 1e-9},
	}, 180.0/232, (0.5+0.9*perA)/232)
	explains(t, source, hss16(t, loads.BasisASD).Shear, analysis.State{Vy: 120 * kip}, []printedStep{
		{"Vn", 258, inKips, 0.5 + perA}, {"Ωv", 1.67, plainNumber, 0}, {"Vc", 155, inKips, 0.5 + perA/1.67},
	}, 120.0/155, (0.5+perA/1.67)/155)
}

// AISC Design Examples v16, H.5B: HSS5.000x0.250 of A500 Gr. C over 14 ft, torsion, public. The
// source takes C = 7.95 in³ and D/t = 21.5.
func TestExplainFollowsTorsion(t *testing.T) {
	const source = designExamples + "H.5B, public"
	const perC, byRatio = 0.005 * 30, 0.05 / 21.5
	explains(t, source, hss5(t, 50, loads.BasisLRFD).Torsion, analysis.State{T: -100 * kipInch}, []printedStep{
		{"L", 168, perInch, 1e-9}, {"t", 0.233, perInch, 1e-9}, {"C", 7.95, perInch3, 0.005},
		{"Fcr,a", 133, inKsi, 0.5 + 5.0/4*byRatio*133}, {"Fcr,b", 175, inKsi, 0.5 + 3.0/2*byRatio*175}, {"Fcr", 30.0, inKsi, 0.05},
		{"Tn", 239, inKipInch, 0.5 + perC}, {"φT", 0.90, plainNumber, 0}, {"Tc", 215, inKipInch, 0.5 + 0.9*perC}, {"Tr", 100, inKipInch, 1e-9},
	}, 100.0/215, 100.0/215/215*(0.5+0.9*perC))
	explains(t, source, hss5(t, 50, loads.BasisASD).Torsion, analysis.State{T: 100 * kipInch}, []printedStep{
		{"ΩT", 1.67, plainNumber, 0}, {"Tc", 143, inKipInch, 0.5 + perC/1.67},
	}, 100.0/143, 100.0/143/143*(0.5+perC/1.67))
}

// Designers' Guide to EN 1993-1-1, example 6.7: CHS 244.5x10 of S355, hot finished, 4 m between
// pins, 1630 kN; the inputs and χ = 0.8777838747 public in an open verification suite, Nb,Rd =
// 2297 kN from memory. The source takes A = 7370 mm² (7367.0 of the ring) and λ = 0.63.
func TestExplainFollowsColumn(t *testing.T) {
	const source = "Designers' Guide to EN 1993-1-1, example 6.7"
	const byArea = 3.1 / 7370
	column := strutOf(t, loads.BasisEN, steel(t, 244.5, 10, 355), "EN 10210-2", 4).(*enStrut)
	explains(t, source, column.Buckling, analysis.State{N: -1630e3}, []printedStep{
		{"A", 7370, 1, 5}, {"α", 0.21, plainNumber, 0}, {"γM1", 1.0, plainNumber, 0}, {"NEd", 1630, 1e-3, 1e-9},
		{"λ", 0.63, plainNumber, 0.005}, {"χ", 0.877784, plainNumber, 2e-4}, {"Nb,Rd", 2297, 1e-3, 0.5 + (byArea+2e-4)*2297},
	}, 1630.0/2297, 1630.0/2297*(byArea+4.2e-4))
	near(t, "Nc,Rd, kN", column.NRd/1e3, 2616, 0.5+byArea*2616, source+", public")
}

// A guard post by hand, engineers' mail archive 2000, public: 200 lbf at 42 in are 8400 lb-in;
// pipe 1-1/2 standard has fb = 25.77 ksi on its nominal wall, 73.6 % of 35 ksi.
func TestExplainFollowsGuardPost(t *testing.T) {
	const source = "engineers' mail archive 2000, on S = 0.326 in³, public"
	nominal := mustRoundTube(t, pipe(t, 1.900, 0.145, 35), loads.BasisASD, 42*inch)
	const byS = 0.0005 / 0.326
	explains(t, source, nominal.Yield, analysis.State{Mz: 200 * poundForce * 42 * inch}, []printedStep{
		{"Mr", 8.400, inKipInch, 1e-9}, {"S", 0.326, perInch3, 0.0005}, {"σ", 25.77, inKsi, 0.005 + 25.77*byS}, {"σeq", 25.77, inKsi, 0.005 + 25.77*byS},
	}, 0.736, 0.0005+0.736*byS)
}

// A permit sheet takes (B³ - b³)/6 for the elastic modulus of a hollow square, 0.44 in³ where
// (B⁴ - b⁴)/(6B) is right. Of a tube the like, π(D³ - d³)/32, is no modulus either: what is
// used is the printed S of the pipe tables.
func TestModulusIsNoDifferenceOfCubes(t *testing.T) {
	const source = "pipe 1-1/2 standard on its nominal wall, S = 0.326 in³, engineers' mail archive 2000, public"
	tube := mustRoundTube(t, pipe(t, 1.900, 0.145, 35), loads.BasisASD, 1)
	r := &Recorder{}
	s := analysis.State{Mz: 1}
	tube.Yield(&s, r)
	near(t, "S, in³", stepOf(t, r, "S")*perInch3, 0.326, 0.0005, source)
	const bore = 1.900 - 2*0.145
	if cubes := math.Pi * (1.9*1.9*1.9 - bore*bore*bore) / 32; math.Abs(cubes-0.326) < 0.05 {
		t.Errorf("the difference of cubes gives %v in³: the case does not tell them apart", cubes)
	}
}
