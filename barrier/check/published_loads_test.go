package check

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
)

// loadValue is a value that a published worked example of barrier loads prints, beside that
// of the program.
type loadValue struct {
	what      string  // what it is, with its unit
	want, tol float64 // as the source prints it; the tolerance is half of the last digit of the value, or of what it was found from
	ours      float64
}

// TestPublishedLoads runs the published worked examples of barrier loads.
func TestPublishedLoads(t *testing.T) {
	const (
		archive  = "guard post hand check, engineers' mail archive 2000"
		sheet    = "handrail and post design sheet"
		everett  = "city permit file, stair guard of 1-1/4 standard pipe"
		tube     = "city permit file, stair guard of 2 x 2 x 1/8 tube"
		letter   = "ETL 1110-2-534 (1994), example"
		question = "engineers' forum, round tube of S 0.235 in3"
		article  = "BRANZ Build 107"
		balcony  = "balustrade calculation sheet"
		german   = "wind calculation sheet, EN 1991-1-4, terrain III"
		mast     = "calculation of wind on circular cylinders, EN 1991-1-4"
		tank     = "wind report on a water tank, EN 1991-1-4"
		pier     = "JRC Bridge design to Eurocodes, worked example 3.3.1"
		wall     = "reference test of EN 1991-1-4 7.4.1 of an open finite-element library"
	)
	outside := compared(t, verification.Loads, "")
	cases := 0
	add := func(source string, of ...loadValue) {
		cases++
		for _, v := range of {
			outside.on("published loads: "+source).near(fmt.Sprintf("case %d: %s", cases, v.what), v.ours, v.want, v.tol, source+", public")
		}
	}
	add(archive, postStress(t, "1-1/4", 35.74, 0.235)...)
	add(archive, postStress(t, "1-1/2", 25.77, 0.326)...)
	add(sheet, requiredModulus(t, "rail", 1200, 0.056)...)
	add(sheet, requiredModulus(t, "post", 8400, 0.389)...)
	add(everett, stairGuard(t)...)
	add(tube, loadValue{"post moment, lbf-in", 8400, 0.5, inPounds(lonePipes(t, "1-1/4", "42 in", "4 ft", point200).Posts[0].BaseMoment)})
	add(letter, towerGuard(t)...)
	add(question, loadValue{"largest spacing of posts, in", 40.29, 0.005, largestSpacing(t)})
	add(article, loadValue{"spacing below which the point load governs a post, m", 1.7, 0.05, governedByPoint(t)})
	add(balcony, loadValue{"M* of a post, 0.75 kN/m, kNm", 1.13, 0.005 + 1e-9, factoredPost(t, "1 m", "kind = \"line\"\nvalue = \"0.75 kN/m\"")})
	add(balcony, loadValue{"M* of a post, 0.6 kN at 1.7 m, kNm", 1.53, 0.005, factoredPost(t, "1.7 m", "kind = \"point\"\nvalue = \"0.6 kN\"")})
	add(balcony, loadValue{"wind at the top rail of a panel, kN/m", 0.41, 0.005, panelWind(t)})
	add(german, peakPressure(t)...)
	add(mast, cylinder("II", 45, 22, 0.7, 22, [2]loadValue{
		{what: "we, kN/m2", want: 2.452, tol: 0.005 * 2.452}, // its reading of the graph of psi is 0.5 % lower
		{what: "Fw, kN", want: 37.77, tol: 0.005 * 37.77},
	})...)
	add(tank, cylinder("II", 30.2, 5.5, 1.9, 2, [2]loadValue{
		{what: "we, kN/m2", want: 0.535, tol: 0.0005},
		{what: "Fw, kN", want: 2.034, tol: 0.002}, // of we in three digits
	})...)
	add(pier, bridgePier()...)
	add(wall, solidWall()...)
	if cases != 17 {
		t.Fatalf("%d cases, want 17", cases)
	}
}

func inPounds(moment float64) float64 { return moment / (4.4482216152605 * inch) }

// lonePipes checks lone posts and simple spans of standard pipe on its nominal wall.
func lonePipes(t *testing.T, nps, height, spacing, load string) *Result {
	t.Helper()
	return result(t, pipes(t, nps, height, spacing, load), Options{})
}

// pipes is two bays of such a guard.
func pipes(t *testing.T, nps, height, spacing, load string) *barrier.Definition {
	t.Helper()
	length := quantity.FormatIn(2*si(t, spacing, quantity.Length), "in", 9)
	return parse(t, "wall_basis = \"nominal\"\n"+guard("AISC-ASD", "ASTM A53 NPS "+nps+" STD", height, length, spacing, load))
}

// postStress is 200 lbf at 42 in on a pipe: the moment at the foot over its section modulus. The
// source counts on a modulus of three digits.
func postStress(t *testing.T, nps string, want, S float64) []loadValue {
	d := pipes(t, nps, "42 in", "4 ft", point200)
	M := result(t, d, Options{}).Posts[0].BaseMoment
	return []loadValue{{"stress of a post of " + nps + " pipe, ksi", want, want * 0.0005 / S, M / d.Post.Ring.Wel / ksi}}
}

// requiredModulus is a guard of posts 4 ft apart under 50 lbf/ft: the moment of a rail or a post,
// and the section modulus that it asks for at 21.6 ksi. Ours has the weight of the rail too.
func requiredModulus(t *testing.T, of string, moment, want float64) []loadValue {
	r := lonePipes(t, "1-1/2", "42 in", "4 ft", line50)
	M := inPounds(r.Posts[1].BaseMoment)
	tol := 1e-6
	if of == "rail" {
		M, tol = inPounds(r.Rails[0].Moment), 0.002 // with its weight
	}
	return []loadValue{
		{of + " moment, lbf-in", moment, tol * moment, M},
		{"section modulus of the " + of + ", in3", want, 0.0005, M / 21.6e3},
	}
}

// The shares of a point load that an inner and an end post take by the chart of case 5.
const innerShare, endShare = 0.65, 0.85

// stairGuard is a guard 36 in high with posts 42 in apart. The source takes shares
// of a lone cantilever from a chart; ours are the hand values of the program times these. What the
// frame gives is held to its closed form, for a rail of two spans that is continuous over posts of
// the same pipe.
func stairGuard(t *testing.T) []loadValue {
	line, point := lonePipes(t, "1-1/4", "36 in", "42 in", line50), lonePipes(t, "1-1/4", "36 in", "42 in", point200)
	base := func(r *Result, post int) float64 { return inPounds(handOf(t, r, "post base moment", post)) / 1000 }
	rail := func(r *Result) float64 { return inPounds(handOf(t, r, "rail moment", -1)) / 1000 }
	lone := base(point, 0)

	β := 2 * math.Pow(36.0/42.0, 3) // stiffness of the rail against the middle of its three posts, 6EI/L³, over 3EI/h³
	share := sharesOfFrame(t)
	near(t, "share of an inner post", share[1], (2+β)/(2+3*β), 1e-6, "two spans on three springs, statics")
	near(t, "share of an end post", share[0], 1-β/(6*β+4), 1e-6, "two spans on three springs, statics")
	// The source counts on the design wall.
	Mc := resistanceKipIn(result(t, parse(t, guard("AISC-ASD", "ASTM A53 NPS 1-1/4 STD", "36 in", "84 in", "42 in", point200)), Options{}).row(t, "post-bending", "post 1"))
	values := []loadValue{{"available moment, kip-in", 6.4, 0.05, Mc}}
	for _, v := range []struct {
		what         string
		moment, used float64 // as printed
		ours         float64
	}{
		{"inner post, 50 lbf/ft", 4.1, 0.64, innerShare * base(line, 1)},
		{"inner post, 200 lbf", 4.7, 0.73, innerShare * lone},
		{"end post, 50 lbf/ft", 2.7, 0.42, endShare * base(line, 1) / 2}, // half of the width of an inner one
		{"end post, 200 lbf", 6.1, 0.96, endShare * lone},
		{"rail, 50 lbf/ft", 0.9, 0.14, rail(line)},
		{"rail, 200 lbf", 2.1, 0.33, rail(point)},
	} {
		values = append(values,
			loadValue{v.what + ", kip-in", v.moment, 0.05, v.ours},
			loadValue{"same, utilisation", v.used, 0.005, v.ours / Mc})
	}
	return values
}

// handOf returns the hand value of a check that begins with these words: of a post by its index,
// of any element for -1.
func handOf(t *testing.T, r *Result, words string, post int) float64 {
	t.Helper()
	for _, c := range r.HandChecks {
		if strings.HasPrefix(c.What, words) && (post < 0 || c.Element == postName(post)) {
			return c.Hand
		}
	}
	t.Fatalf("no hand check %q of post %d", words, post+1)
	return 0
}

// sharesOfFrame returns what part of 200 lbf at a post its foot takes, of the end post and the
// inner one, where the rail is continuous.
func sharesOfFrame(t *testing.T) (shares [2]float64) {
	text := strings.Replace(guard("AISC-ASD", "ASTM A53 NPS 1-1/4 STD", "36 in", "84 in", "42 in", point200), "through = false", "through = true\nsplices = \"none\"", 1)
	r := result(t, parse(t, text), Options{})
	for i := range shares {
		shares[i] = inPounds(r.Posts[i].BaseMoment) / (200 * 36)
	}
	return shares
}

// towerGuard is 890 N at 1040 mm: the force of an anchor 114 mm from where the foot turns, and the
// stress of a rail of 1-1/2 pipe (S 5340 mm³) in a bay in which it takes the 217 Nm of the source.
func towerGuard(t *testing.T) []loadValue {
	const load = "kind = \"point\"\nvalue = \"890 N\"\ndirection = \"outward\""
	bay := fmt.Sprintf("%.3f mm", 4*217/890.0*1000)
	r := lonePipes(t, "1-1/2", "1040 mm", bay, load)
	anchor := r.Posts[0].BaseMoment / 0.114 / 1000
	return []loadValue{
		{"force of an anchor, kN", 8.1, 0.05, anchor},
		{"same, times 1.65, kN", 13.4, 0.05, 1.65 * anchor},
		{"rail stress under 217 Nm, MPa", 41, 0.5, r.row(t, "rail-yield", "rail top bay 1").Demand},
	}
}

// largestSpacing bisects the spacing, in, at which the bending of an inner post just passes: 50
// lbf/ft at 42 in on a section modulus of 0.235 in³ at 30 ksi, which the program allows where
// Fy Z/Ω is as much.
func largestSpacing(t *testing.T) float64 {
	low, high := 20.0, 80.0
	for high-low > 1e-6 {
		middle := (low + high) / 2
		d := pipes(t, "1-1/4", "42 in", fmt.Sprintf("%.9f in", middle), line50)
		d.Post.Grade.Fy, d.Post.Ring.Wpl = 1.67*30*ksi, 0.235*inch*inch*inch
		if used(result(t, d, Options{}).row(t, "post-bending", "post 2")) <= 1 {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

// governedByPoint bisects the spacing, m, up to which 0.6 kN governs an inner lone post beside
// 0.35 kN/m: the first row of AS/NZS 1170.1 Table 3.3.
func governedByPoint(t *testing.T) float64 {
	low, high := 1.0, 3.0
	for high-low > 1e-6 {
		middle := (low + high) / 2
		s := lonePosts()
		s.run = fmt.Sprintf("length = \"%.9f m\"\nspacing = \"%.9f m\"\ntoe_plate = \"none\"", 3*middle, middle)
		s.load, s.limits = "schedule = \"AS/NZS 1170.1 A i\"\nmix = true", ""
		if strings.HasPrefix(s.check(t).row(t, "post-bending", "post 2").Load, "point") {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

// factoredPost returns the moment, kNm, at the foot of a lone post of a height, 1 m from its
// neighbours, under an outward load.
func factoredPost(t *testing.T, height, load string) float64 {
	s := lonePosts()
	s.run = "posts = [\"0 m\", \"1 m\", \"2 m\"]\ntoe_plate = \"none\""
	s.base = "stiffness = \"rigid\""
	s.height, s.load, s.limits = height, load+"\ndirection = \"outward\"", "deflection = \"none\""
	return s.check(t).Posts[1].BaseMoment / 1000
}

// panelWind returns the wind, kN/m, that half of a panel 1.0 m high puts on its top rail at 0.68
// kN/m² and a coefficient of 1.2.
func panelWind(t *testing.T) float64 {
	gust := (&loads.Wind{Route: loads.WindPressureGiven, Pressure: 680}).At(1)
	zones, _ := gust.Wall(10, 1, 0.8, 0)
	near(t, "coefficient", zones[0].Coefficient, 1.2, 1e-12, "EN 1991-1-4 Table 7.9, solidity 0.8")
	return zones[0].Pressure * 1.0 / 2 / 1000
}

func peakPressure(t *testing.T) []loadValue {
	gust := (&loads.Wind{Route: loads.WindEN, Terrain: "III", Velocity: 22, Ground: 7.02}).At(0)
	step := func(symbol string) float64 {
		for _, s := range gust.Steps {
			if s.Symbol == symbol {
				return s.Result
			}
		}
		t.Fatalf("no step %s", symbol)
		return 0
	}
	return []loadValue{
		{"cr", 0.68, 0.005, step("cr(z)")},
		{"vm, m/s", 14.94, 0.005, step("vm(z)")},
		{"Iv", 0.317, 0.0005, step("Iv(z)")},
		{"qp, kN/m2", 0.449, 0.0005, gust.Pressure / 1000},
	}
}

// cylinder returns the pressure and the force of the wind on a cylinder of width b and length l, m,
// at a height above the ground, with its end effect; its surface is as rough as galvanised steel.
func cylinder(terrain string, vb, height, b, l float64, values [2]loadValue) []loadValue {
	gust := (&loads.Wind{Route: loads.WindEN, Terrain: terrain, Velocity: vb, Ground: height}).At(0)
	we := gust.Tube(b, 0).Pressure * loads.EndEffect(loads.Slenderness(l, b))
	values[0].ours, values[1].ours = we/1000, we*b*l/1000
	return values[:]
}

func bridgePier() []loadValue {
	const b, l = 4.0, 40.0
	gust := (&loads.Wind{Route: loads.WindEN, Terrain: "II", Velocity: 26, Return: 100, Ground: l}).At(0)
	drag, psi := gust.Tube(b, 0), loads.EndEffect(loads.Slenderness(l, b))
	return []loadValue{
		{"qp, N/m2", 1504.7, 0.05, gust.Pressure},
		{"cf,0", 0.789, 0.0005, drag.Coefficient},
		{"psi", 0.688, 0.0005, psi},
		{"Fw, kN", 130.7, 0.05, drag.Pressure * psi * b * l / 1000},
	}
}

// solidWall is a wall 2 m high and 10 m long with its foot at 8 m; its source rounds cprob to four
// digits.
func solidWall() (values []loadValue) {
	gust := (&loads.Wind{Route: loads.WindEN, Terrain: "III", Velocity: 26, Return: 5, Ground: 8}).At(2)
	zones, _ := gust.Wall(10, 2, 1, 0)
	for i, theirs := range []float64{1530, 949, 738, 633} {
		values = append(values, loadValue{"net pressure in zone " + zones[i].Name + ", N/m2", theirs, 1, zones[i].Pressure})
	}
	return values
}
