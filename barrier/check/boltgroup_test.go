package check

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
)

// circle returns n bolts on a circle of radius r, the first at a bearing, rad.
func circle(n int, r, turned float64) []barrier.BoltPlace {
	var out []barrier.BoltPlace
	for i := range n {
		sin, cos := math.Sincos(turned + 2*math.Pi*float64(i)/float64(n))
		out = append(out, barrier.BoltPlace{Outward: r * cos, Along: r * sin})
	}
	return out
}

// leaningTo returns a moment that lifts the flange on the side of a bearing from outward, rad.
func leaningTo(m, bearing float64) FootActions {
	sin, cos := math.Sincos(bearing)
	return FootActions{Mx: m * cos, My: -m * sin} // rises as (along sin + outward cos)
}

// mostOf returns the largest tension in a bolt, N.
func mostOf(g *boltGroup, a FootActions) float64 {
	p := g.pulled(a)
	most := 0.0
	for i := range g.x {
		most = math.Max(most, g.tension(&p, i))
	}
	return most
}

const testTube = 48.3e-3

// flangeOf returns a flange with these bolts.
func flangeOf(places []barrier.BoltPlace, method barrier.TensionMethod, bearing float64) *barrier.Flange {
	f := &barrier.Flange{Bolts: places, Method: method, Bearing: bearing, Prying: 1}
	f.ValuesFactor = 1
	return f
}

// The numbers that the rules of this program print for their default, and the check numbers and the
// table of cases for the bearing at an edge: 1 kNm, R = 45 mm.
func TestBoltTensionCheckNumbers(t *testing.T) {
	const (
		rules  = "statics, as printed in DEVELOPERS.md: R 45 mm, D 48.3 mm, 1 kNm: square 7.86 and 8.93 kN, diagonal 11.11 and 11.63 kN"
		byHand = "statics, derived: e 60 mm, bearing at the edge, diagonal 5.69, square 4.98 kN"
		table  = "statics, table of cases, e 60 mm"
		R, e   = 45e-3, 60e-3
	)
	outside := compared(t, verification.Feet, "tension of bolts")
	deg := math.Pi / 180
	three := 3 * (R*R/2 + e*e)
	for _, c := range []struct {
		name   string
		n      int
		turned float64
		method barrier.TensionMethod
		want   float64 // kN
		tol    float64
		source string
	}{
		{"4, square, default", 4, 45, barrier.LargerOfGroupAndTube, 8.93, 0.005, rules},
		{"4, diagonal, default", 4, 0, barrier.LargerOfGroupAndTube, 11.63, 0.005, rules},
		{"4, diagonal, edge", 4, 0, barrier.EdgeBearing, 5.69, 0.005, byHand},
		{"4, square, edge", 4, 45, barrier.EdgeBearing, 4.98, 0.005, byHand},
		{"2, along their line, edge", 2, 0, barrier.EdgeBearing, (e + R) / ((e+R)*(e+R) + (e-R)*(e-R)), 1e-9, table},
		{"2, across their line, edge", 2, 90, barrier.EdgeBearing, 1 / (2 * e), 1e-9, table},
		{"3, one bolt pulled, edge", 3, 0, barrier.EdgeBearing, (e + R) / three, 1e-9, table},
		{"3, two bolts pulled, edge", 3, 180, barrier.EdgeBearing, (e + R/2) / three, 1e-9, table},
		{"2, across their line, default", 2, 90, barrier.LargerOfGroupAndTube, 1 / testTube, 1e-9, "statics: both bolts D/2 from the tube's face, M/(2 D/2) each"},
	} {
		g := newBoltGroup(flangeOf(circle(c.n, R, c.turned*deg), c.method, e), testTube, 1)
		outside.near(c.name+", kN", mostOf(g, leaningTo(1000, 0))/1e3, c.want, c.tol, c.source)
	}
	// Method 1 alone, which is the smaller there: 0.3536 M/R and 2M/(nR) (B1).
	for _, c := range []struct{ turned, want float64 }{{45, 7.857}, {0, 11.111}} {
		g := newBoltGroup(flangeOf(circle(4, R, c.turned*deg), barrier.LargerOfGroupAndTube, 0), testTube, 1)
		p := g.pulled(leaningTo(1000, 0))
		most := 0.0
		for i := range g.x {
			most = math.Max(most, p.ax*g.x[i]+p.ay*g.y[i])
		}
		outside.near(fmt.Sprintf("about the group, turned %v deg, kN", c.turned), most/1e3, c.want, 0.001, "statics: M d/Σd²")
	}
}

// In any direction the bolts of either method and what bears at the tube balance the actions about
// both axes (statics), and no bolt pushes where it tilts; the rotation about the middle balances by
// the bolts alone.
func TestBoltTensionBalances(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 2))
	for range 2000 {
		n := 2 + random.IntN(5)
		f := flangeOf(circle(n, 0.03+0.05*random.Float64(), 6*random.Float64()), barrier.LargerOfGroupAndTube, 0)
		off := 0.01 * random.Float64()
		for i := range f.Bolts { // not about the axis of the post
			f.Bolts[i].Outward += off
		}
		f.Weight = random.IntN(2) == 0
		g := newBoltGroup(f, testTube, 1)
		a := leaningTo(1000*random.Float64(), 7*random.Float64())
		a.Fz = 4000 * (random.Float64() - 0.7)
		p := g.pulled(a)
		up := p.lift // uplift positive; of a tilting flange compression bears
		if !f.Weight {
			up = math.Max(0, up)
		}
		var sum, mx, my float64
		for i := range g.x {
			v := math.Max(0, up)/float64(n) + p.tilt*math.Max(0, g.x[i]*p.vx+g.y[i]*p.vy+g.arm)
			sum, mx, my = sum+v, mx+v*g.x[i], my+v*g.y[i]
		}
		c := sum - up // what bears, at the face of the tube
		tilts := p.tilt > 0
		if tilts && c < -1e-9 {
			t.Fatalf("the bearing pulls: %v", c)
		}
		if tilts {
			mx, my = mx+c*g.arm*p.vx, my+c*g.arm*p.vy
			if d := math.Hypot(mx-(-a.My), my-a.Mx); d > 1e-6*(1+p.m) {
				t.Fatalf("%d bolts: out of balance by %v of %v Nm", n, d, p.m)
			}
		}
		if g.line {
			continue
		}
		sum, mx, my = 0, 0, 0
		for i := range g.x {
			v := p.lift/float64(n) + p.ax*(g.x[i]-g.cx) + p.ay*(g.y[i]-g.cy)
			sum, mx, my = sum+v, mx+v*g.x[i], my+v*g.y[i]
		}
		if d := math.Hypot(mx-(-a.My), my-a.Mx); d > 1e-6*(1+p.m) || math.Abs(sum-p.lift) > 1e-6 {
			t.Fatalf("%d bolts about their middle: out of balance by %v Nm, %v N", n, d, sum-p.lift)
		}
	}
}

// Tilting on a round edge is the least energy of bolts that stretch under a rigid plate: brute
// force over all tilts gives the same largest tension (an independent way to it).
func TestBoltTiltIsLeastEnergy(t *testing.T) {
	outside := compared(t, verification.Feet, "tilt of a plate")
	for _, n := range []int{2, 3, 4, 6} {
		for _, bearing := range []float64{0, 0.2, 0.5, 0.9, 1.3, 2} {
			g := newBoltGroup(flangeOf(circle(n, 0.045, 0.1), barrier.EdgeBearing, 0.03), testTube, 1)
			a := leaningTo(1000, bearing)
			best, most := math.Inf(1), 0.0
			const steps = 40000
			for k := range steps {
				sin, cos := math.Sincos(2 * math.Pi * float64(k) / steps)
				work := -a.My*cos + a.Mx*sin
				energy, stretch := 0.0, 0.0
				for i := range g.x {
					d := math.Max(0, g.x[i]*cos+g.y[i]*sin+g.arm)
					energy, stretch = energy+d*d/2, math.Max(stretch, d)
				}
				if work <= 0 {
					continue
				}
				w := work / (2 * energy) // least of w² energy - w work
				if e := w*w*energy - w*work; e < best {
					best, most = e, w*stretch
				}
			}
			outside.near(fmt.Sprintf("%d bolts, moment to %v rad, N", n, bearing), mostOf(g, a), most, 2e-4*most, "least energy, by brute force over all tilts")
		}
	}
}

// Tension goes on smoothly as the moment turns, grows with it, and uplift is never relieved by
// weight that is not counted.
func TestBoltTensionIsContinuous(t *testing.T) {
	for _, method := range []barrier.TensionMethod{barrier.LargerOfGroupAndTube, barrier.EdgeBearing, barrier.BearingBlock} {
		f := flangeOf(circle(4, 0.045, 0.3), method, 0.04)
		f.Size, f.Concrete = [2]float64{0.16, 0.14}, 10e6
		g := newBoltGroup(f, testTube, 1)
		const steps = 20000
		before := mostOf(g, leaningTo(1000, 0))
		for k := 1; k <= steps; k++ {
			at := 2 * math.Pi * float64(k) / steps
			now := mostOf(g, leaningTo(1000, at))
			if math.Abs(now-before) > 2*math.Pi/steps*40*now {
				t.Fatalf("%s jumps at %v rad: %v, %v", method, at, before, now)
			}
			before = now
			if more := mostOf(g, leaningTo(1100, at)); more <= now {
				t.Fatalf("%s: a larger moment pulls less at %v rad", method, at)
			}
			lifted := leaningTo(1000, at)
			lifted.Fz = 500
			if mostOf(g, lifted) <= now {
				t.Fatalf("%s: uplift pulls nothing at %v rad", method, at)
			}
		}
		pressed := leaningTo(1000, 0.4)
		pressed.Fz = -2000
		if got, want := mostOf(g, pressed), mostOf(g, leaningTo(1000, 0.4)); got != want {
			t.Errorf("%s: compression changes %v to %v though it is not counted", method, want, got)
		}
	}
}

// The bearing block is in balance: with Y and T of AISC Design Guide 1, q Y - N = T and the moments
// about the middle of the plate are q Y (h/2 - Y/2) + T f = M (statics).
func TestBearingBlock(t *testing.T) {
	row := boltRow{f: 0.05, n: 2, depth: 0.16, q: 10e6 * 0.14}
	for _, c := range []struct{ m, n float64 }{{1000, 0}, {1000, 3000}, {2500, 1000}} {
		tension := row.tension(c.m, c.n)
		y := (tension + c.n) / row.q
		if m := row.q*y*(row.depth/2-y/2) + tension*row.f; math.Abs(m-c.m) > 1e-6*c.m || y > row.depth {
			t.Errorf("M %v, N %v: T %v, moment %v, Y %v", c.m, c.n, tension, m, y)
		}
	}
	if !math.IsInf(row.tension(1e6, 0), 1) {
		t.Error("a plate that is too small holds")
	}
	if row.tension(10, 5000) != 0 {
		t.Error("a small moment under much compression pulls")
	}
}

// The worst of any bearing is that of the worst direction of a circle of known bearing: by brute
// force.
func TestWorstBearing(t *testing.T) {
	for _, n := range []int{2, 3, 4, 5, 8} {
		f := flangeOf(circle(n, 0.045, 0), barrier.LargerOfGroupAndTube, 0)
		f.AnyBearing = true
		b := newFlangeBolts(f, testTube, 1, newPlate(f, testTube, "EN"))
		most := 0.0
		const steps = 36000
		for k := range steps {
			most = math.Max(most, mostOf(b.group, leaningTo(1, 2*math.Pi*float64(k)/steps)))
		}
		if math.Abs(b.worst-most) > 1e-6*most {
			t.Errorf("%d bolts: %v N for 1 Nm, by brute force %v", n, b.worst, most)
		}
	}
}

// Shear: V/n and T/(nR), as vectors.
func TestBoltShear(t *testing.T) {
	g := newBoltGroup(flangeOf(circle(4, 0.045, 0), barrier.LargerOfGroupAndTube, 0), testTube, 1)
	a := FootActions{Fy: 1000, Mz: 90}
	most := 0.0
	for i := range g.x {
		most = math.Max(most, g.shear(&a, i))
	}
	compared(t, verification.Feet, "shear of bolts").near("4 bolts under 1 kN and 90 Nm, N", most, 1000.0/4+90/(4*0.045), 1e-9, "V/n + T/(nR) where they add")
	// Forces on all bolts balance the actions also where the group stands aside.
	f := flangeOf([]barrier.BoltPlace{{Outward: 0.06, Along: 0.01}, {Outward: -0.04, Along: 0.05}, {Outward: -0.05, Along: -0.03}}, barrier.LargerOfGroupAndTube, 0)
	g = newBoltGroup(f, testTube, -1)
	a = FootActions{Fx: 300, Fy: -700, Mz: 50}
	var fx, fy, mz float64
	twist, polar := g.twist(&a), g.sxx+g.syy
	for i := range g.x {
		x, y := a.Fx/3-twist*(g.y[i]-g.cy)/polar, a.Fy/3+twist*(g.x[i]-g.cx)/polar
		if math.Abs(math.Hypot(x, y)-g.shear(&a, i)) > 1e-9 {
			t.Errorf("bolt %d: %v", i, g.shear(&a, i))
		}
		fx, fy, mz = fx+x, fy+y, mz+g.x[i]*y-g.y[i]*x
	}
	if math.Abs(fx-a.Fx)+math.Abs(fy-a.Fy)+math.Abs(mz-a.Mz) > 1e-9 {
		t.Errorf("bolts carry %v %v %v of %+v", fx, fy, mz, a)
	}
}

// Bolts that stand askew share a moment so that their forces balance it about both axes.
func TestGroupOfBoltsAskewBalances(t *testing.T) {
	f := &barrier.Flange{Method: barrier.LargerOfGroupAndTube, Bolts: []barrier.BoltPlace{
		{Along: 0.06, Outward: 0.05}, {Along: 0.02, Outward: 0.045}, {Along: -0.05, Outward: -0.06}, {Along: -0.03, Outward: -0.035},
	}}
	g := newBoltGroup(f, testTube, 1)
	p := g.pulled(FootActions{Mx: 700, My: -300})
	var force, alongX, alongY float64
	for i := range g.x {
		x, y := g.x[i]-g.cx, g.y[i]-g.cy
		pull := p.ax*x + p.ay*y
		force, alongX, alongY = force+pull, alongX+pull*g.x[i], alongY+pull*g.y[i]
	}
	near(t, "sum of forces, N", force, 0, 1e-6, "statics")
	near(t, "moment that lifts along the run, Nm", alongX, 300, 1e-9, "statics")
	near(t, "moment that lifts to the left, Nm", alongY, 700, 1e-9, "statics")
}

// The row beside a bearing block balances moment and compression from where the flange begins to gape:
// qY = T + N and T f + qY (h - Y)/2 = M, with Y of the block. Of a round flange the block lies in the
// inscribed square.
func TestBearingBlockBalances(t *testing.T) {
	w := boltRow{f: 0.06, n: 2, depth: 0.18, q: 1.5e6}
	const n = 40e3
	gapes := n * (w.depth/2 - n/(2*w.q))
	near(t, "tension where it begins to gape, N", w.tension(gapes, n), 0, 1e-6, "AISC Design Guide 1, statics")
	for _, m := range []float64{1.01 * gapes, 1.02 * gapes, 1.5 * gapes} {
		tension := w.tension(m, n)
		block := (tension + n) / w.q
		near(t, "moment about the axis, Nm", tension*w.f+w.q*block*(w.depth-block)/2, m, 1e-6, "statics")
		if tension <= 0 {
			t.Errorf("M = %v Nm: tension %v N beyond where it gapes", m, tension)
		}
	}
	g := newBoltGroup(&barrier.Flange{Method: barrier.BearingBlock, Diameter: 0.2, Concrete: 10e6, Bolts: []barrier.BoltPlace{{Along: 0.06}, {Along: -0.06}}}, testTube, 1)
	near(t, "side of the inscribed square, m", g.rows[0].depth, 0.2*math.Sqrt(0.5), 1e-12, "geometry")
}

// The plate that bends with a bolt: 45 degrees of spread, the pitch at the face of the tube or the chord
// of the flange, whichever is least; it resists b t²/4 fy, to first yield b t²/6 fy.
func TestWidthOfPlateOfABolt(t *testing.T) {
	const source = "geometry; EN 1993-1-1 6.2.5 (memory)"
	four := make([]barrier.BoltPlace, 4)
	for _, c := range []struct {
		what                   string
		radius, diameter, want float64 // m
		bolts                  int
	}{
		{"spread", 0.04, 0.2, 2 * (0.04 - 0.024), 4},
		{"pitch", 0.05, 0.2, 2 * math.Pi * 0.024 / 4, 4},
		{"chord", 0.05, 0.104, 2 * math.Sqrt(0.052*0.052-0.05*0.05), 4},
	} {
		f := &barrier.Flange{Bolts: four, Diameter: c.diameter, Thickness: 0.01, Fy: 235e6}
		p := newPlate(f, 0.048, loads.BasisEN)
		near(t, "width by "+c.what+", m", p.width(c.radius), c.want, 1e-12, source)
		near(t, "moment, Nm", p.moment(c.radius), c.want*1e-4/4*235e6, 1e-9, source)
		f.ElasticPlate = true
		near(t, "moment to first yield, Nm", p.moment(c.radius), c.want*1e-4/6*235e6, 1e-9, source)
	}
}

// On a circle of bolts of any bearing twist adds to the shear where a bolt stands square to it.
func TestShearOfAnyBearing(t *testing.T) {
	b := &flangeBolts{flange: &barrier.Flange{AnyBearing: true}, radius: []float64{0.05, 0.05, 0.05, 0.05}}
	near(t, "shear, N", b.anyShear(&FootActions{Fx: 300, Fy: 400, Mz: -60}), 500.0/4+60/(4*0.05), 1e-9, "statics")
}

// Where prying by the plate is counted, hinges at the tube and at the bolts carry T m together.
func TestPlateWithTwoHinges(t *testing.T) {
	for pries, hinges := range map[bool]float64{false: 1, true: 2} {
		f := &barrier.Flange{
			Method: barrier.LargerOfGroupAndTube, Bolts: circle(4, 0.05, 0), Diameter: 0.2, Thickness: 0.01, Fy: 235e6, Prying: 1, PlatePrying: pries,
		}
		b := newFlangeBolts(f, 0.048, 1, newPlate(f, 0.048, loads.BasisEN))
		width := 2 * math.Pi * 0.024 / 4
		want := 4000.0 / 4 * (0.05 - 0.024) / (hinges * width * 1e-4 / 4 * 235e6)
		near(t, "use of the plate under uplift alone", b.bending().judge(&FootActions{Fz: 4000}, nil), want, 1e-9, "EN 1993-1-8 Table 6.2, modes 1 and 2, memory")
	}
}
