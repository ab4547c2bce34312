package analysis_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
)

// Fittings that hold a moment, stand beside the post or weigh something.

// Two posts and one rail whose rotation about its axis is tied: T in the rail from
// T = k (turn of post 1 - turn of post 2), with k = GJ/L, or in series with the springs
// of two joints. The posts turn by P (h²/2EI + h/kf) - T c and T c, with
// c = h/EI + 1/kf. In plan the rail is a simple span, so a load at post 1 goes there
// whole.
func TestTwistSharing(t *testing.T) {
	record := verification.New(t, verification.Joints)
	const length, h, force, foundation = 1.5, 1.1, 900.0, 90e3
	const source = "statics: 2x2 closed form with GJ/L"
	for _, joint := range []barrier.Joint{
		{Kind: barrier.GrippedJoint, Stiffness: [3]float64{math.Inf(1)}},
		{Kind: barrier.StiffnessJoint, Stiffness: [3]float64{7.5e3}},
	} {
		p := oneRail(evenly(2, length), h, foundation, own("point", "0.9 kN", "top", "outward"))
		p.change = func(d *barrier.Definition) { d.Fitting.Moment = joint }
		d := p.definition(t)
		a := ready(t, d)
		post, rail := ei(&d.Post.Member), &d.Rails[0].Member
		k := 1 / (length/(rail.Grade.G*rail.Ring.J) + 2/joint.Stiffness[0])
		c := h/post + 1/foundation
		turn := force * (h*h/(2*post) + h/foundation)
		T := k * turn / (1 + 2*k*c)
		top := force*(h*h*h/(3*post)+h*h/foundation) - T*(h*h/(2*post)+h/foundation)
		name := func(what string) string { return fmt.Sprintf("%s, %s", joint.Kind, what) }
		whole, ends := a.Grip(0, 0)
		twist := func(p *analysis.Probe) float64 { return a.Worst(p, 0, analysis.Service, measure(torsion)).Value }
		for _, r := range []row{
			{name("twist of the rail, Nm"), source, along1(a, measure(torsion)).Value, T, 1e-9 * T},
			{name("twist at the fitting, on the rail, Nm"), source, twist(ends[0]), T, 1e-9 * T},
			{name("twist at the fitting, on the post, Nm"), source, twist(whole), T, 1e-9 * T},
			{name("base moment, Nm"), source, foot(a, 0, moment).Value, force*h - T, 1e-9 * force},
			{name("base moment of the other post, Nm"), source, math.Abs(on(a, a.Post(1).Probes[0], 0).Mz), T, 1e-9 * force},
			{name("top, m"), source, a.Worst(a.Post(0).Probes[0], h, analysis.Service, measure(across)).Value, top, 1e-9 * top},
		} {
			r.outside(t, record, "two posts that share twist by a gripped rail")
		}
	}
}

// A rail beside the posts at e: a force along twists a post by what it takes of it times
// e, a force down bends it by e. The rail, free to turn in its fittings, feels no moment.
// The posts share a force along as springs, each 1/(h³/3EI + e² h/GJ), with the rail's
// L/EA between them.
func TestOffset(t *testing.T) {
	record := verification.New(t, verification.Joints)
	const length, h, e, force = 1.5, 1.1, 0.06, 900.0
	at := func(word string) (*barrier.Definition, *analysis.Analysis) {
		p := oneRail(evenly(2, length), h, math.Inf(1), own("point", "0.9 kN", "top", word))
		p.change = func(d *barrier.Definition) { d.Fitting.Offset = e }
		d := p.definition(t)
		return d, ready(t, d)
	}
	d, a := at("along")
	post := &d.Post.Member
	give := h*h*h/(3*ei(post)) + e*e*h/(post.Grade.G*post.Ring.J)
	between := length / (d.Rails[0].Grade.E * d.Rails[0].Ring.Area)
	first := force * (give + between) / (2*give + between)
	whole, ends := a.Grip(0, 0)
	twist := func(s *analysis.State) float64 { return math.Abs(s.Mz) }
	worst := func(a *analysis.Analysis, p *analysis.Probe, f func(*analysis.State) float64) float64 {
		return a.Worst(p, 0, analysis.Service, measure(f)).Value
	}
	_, down := at("down")
	vertical, felt := down.Grip(0, 0)
	const source = "statics: force times offset"
	for _, r := range []row{
		{"along, twist at the foot, Nm", source, foot(a, 0, torsion).Value, first * e, 1e-9 * force},
		{"along, twist of the fitting on the post, Nm", source, worst(a, whole, twist), first * e, 1e-9 * force},
		{"along, slip along the rail, N", source, worst(a, ends[0], axial), first, 1e-9 * force},
		{"along, moment about Z on the rail, Nm", source, worst(a, ends[0], twist), 0, 1e-9},
		{"down, bending at the foot, Nm", source, foot(down, 0, moment).Value, force * e, 1e-9 * force},
		{"down, moment of the fitting on the post, Nm", source, worst(down, vertical, torsion), force * e, 1e-9 * force},
		{"down, twist on the rail, Nm", source, worst(down, felt[0], torsion), 0, 1e-9},
	} {
		r.outside(t, record, "rail 60 mm beside its posts")
	}
}

// The weight of the fittings stands on the feet, and slips each down its post with what
// the rail weighs on it: cut rails are simple spans, and the end post of two bays holds
// half a bay.
func TestFittingMass(t *testing.T) {
	record := verification.New(t, verification.Joints)
	const length, mass = 1.5, 1.2
	p := oneRail(evenly(3, length), 1.1, 90e3, own("point", "1e-9 N", "top", "outward"))
	p.rails[0].cut = true
	p.rails = append(p.rails, railPlan{name: "knee", height: 0.6, cut: true})
	p.change = func(d *barrier.Definition) { d.Fitting.Mass = mass }
	d := p.definition(t)
	a := ready(t, d)
	sum := 0.0
	for i := range d.Run.Posts {
		sum -= a.Worst(a.Post(i).Probes[0], 0, analysis.Characteristic, measure(axial)).State.N
	}
	rail := d.Rails[0].Member
	half := math.Pi * (rail.Ring.OD - rail.Ring.Wall) * rail.Ring.Wall * rail.Grade.Density * standardGravity * length / 2
	own := mass * standardGravity
	whole, ends := a.Grip(0, 0)
	up := func(p *analysis.Probe, l analysis.Level) float64 {
		return a.Worst(p, 0, l, measure(func(s *analysis.State) float64 { return math.Abs(s.Vz) })).Value
	}
	for _, r := range []row{
		{"weight on the feet, N", "tubes by hand, and m g of every fitting", sum, weightOf(d), 1e-9 * sum},
		{"slip down the end post, N", "half a bay of rail and the fitting, m g", up(whole, analysis.Characteristic), half + own, 1e-8},
		{"the same, factored, N", "EN 1990 6.10: 1.35", up(whole, analysis.Strength), 1.35 * (half + own), 1e-8},
		{"force on the rail, N", "half a bay of rail", up(ends[0], analysis.Characteristic), half, 1e-8},
	} {
		r.outside(t, record, "fittings that weigh")
	}
}

// On feet of another stiffness the springs of the fittings stay what they are: the same
// as a frame built on those feet.
func TestOnFeetKeepsJoints(t *testing.T) {
	for seed := range uint64(3) {
		r := rand.New(rand.NewPCG(24, seed))
		p := withEnds(r, randomPlan(r, mixed(r)...))
		p.foot = 60e3
		ends := p.change
		p.change = func(d *barrier.Definition) {
			ends(d)
			d.Fitting.Moment = barrier.Joint{Kind: barrier.StiffnessJoint, Stiffness: [3]float64{4e3, 6e3, 9e3}}
		}
		d := p.definition(t)
		a := ready(t, d)
		l := layout(d)
		l.FootStiffness = 200e3
		built, err := analysis.NewReplayer(d, l, a.Actions)
		if err != nil {
			t.Fatal(err)
		}
		for _, before := range []float64{90e3, l.FootStiffness} { // of which the first must not linger
			if _, err := a.OnFeet(before); err != nil {
				t.Fatal(err)
			}
		}
		sprung, err := a.OnFeet(l.FootStiffness)
		if err != nil {
			t.Fatal(err)
		}
		whole, _ := a.Grip(0, 1)
		for _, q := range []*analysis.Probe{a.Post(0).Probes[0], a.Rail(0).Probes[0], whole} {
			found := a.Worst(q, 0, analysis.Strength, measure(moment))
			got, want := sprung.Replay(&found), built.Replay(&found)
			back := a.Replay(&found)
			scale := want.Moment() + want.Shear() // a fitting that turns freely passes no moment: then it is judged against its force at one metre
			if math.Abs(got.Moment()-want.Moment()) > 1e-9*scale || math.Abs(got.Across-want.Across) > 1e-9*math.Abs(want.Across) {
				t.Errorf("seed %d: moment %.12g, moves %.12g; built on those feet %.12g, %.12g", seed, got.Moment(), got.Across, want.Moment(), want.Across)
			}
			if math.Abs(back.Moment()-found.State.Moment()) > 1e-8*scale {
				t.Errorf("seed %d: moment %.12g, replayed %.12g", seed, found.State.Moment(), back.Moment())
			}
		}
	}
}
