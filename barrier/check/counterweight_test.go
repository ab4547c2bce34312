package check

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/loads"
)

// Overturning against a one-page public sheet: 312.66 N at 1 m on a block 0.3 m wide of 2119 N
// (2400 kg/m³ at 9.81 m/s²): MR 317.84 Nm, FS 1.02. By EQU 286 < 469 (own arithmetic).
func TestOverturningAgainstSheet(t *testing.T) {
	const source = "public hoarding sheet: MOT 312.66, MR 317.84, FS 1.02"
	w := newWeighted(&barrier.Counterweight{Weights: []barrier.Weight{{Mass: 2119 / g0}}, Outward: 0.15, Inward: 0.15, Along: 0.5}, 1)
	r := &Recorder{}
	u := w.global(&FootActions{Fy: 312.66, Mx: -312.66}, r)
	fs := 0.0
	for _, step := range r.Steps {
		if step.Symbol == "FS" {
			fs = step.Value
		}
	}
	outside := compared(t, verification.Feet, "overturning")
	outside.near("FS", fs, 1.02, 0.005, source)
	outside.near("moment that holds, Nm", r.Resistance, 317.84, 0.02, source)
	outside.near("utilisation", u, globalSafety/fs, 1e-12, "1.5 over FS")
	equ := w.tippingBy(weightFactors{unfavourable: 1.1, favourable: 0.9})
	if u := equ(&FootActions{Fy: 1.5 * 312.66, Mx: -1.5 * 312.66}, r); u <= 1 {
		t.Errorf("EQU: utilisation %v", u)
	}
	outside.near("moment that tips, EQU, Nm", r.Demand, 469, 0.5, "1.5 × 312.66, derived")
	outside.near("moment that holds, EQU, Nm", r.Resistance, 286, 0.5, "0.9 × 317.84, derived")
}

// vec is a force or a place in X, Y, Z.
type vec [3]float64

func (a vec) plus(b vec) vec      { return vec{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func (a vec) times(f float64) vec { return vec{f * a[0], f * a[1], f * a[2]} }
func (a vec) dot(b vec) float64   { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a vec) cross(b vec) vec {
	return vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// Tipping and sliding on a slope, on either side of the run, against plain statics of vectors:
// the moment of every force about the axis of the edge, and the forces along and square to the
// surface.
func TestWeightedFootAgainstStatics(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	for range 300 {
		outward := float64(1 - 2*random.IntN(2))
		given := &barrier.Counterweight{Outward: random.Float64(), Inward: random.Float64(), Along: random.Float64(), Slope: (random.Float64() - 0.5) / 2}
		for range 1 + random.IntN(3) {
			given.Weights = append(given.Weights, barrier.Weight{Mass: 50 * random.Float64(), Outward: random.NormFloat64(), Along: random.NormFloat64() / 2, Height: random.Float64() / 4})
		}
		a := FootActions{random.NormFloat64() * 200, random.NormFloat64() * 400, random.NormFloat64() * 100, random.NormFloat64() * 400, random.NormFloat64() * 200, random.NormFloat64() * 50}
		w := newWeighted(given, outward)
		s, c := math.Sincos(given.Slope)
		fall := vec{0, outward * c, -s} // down the slope, along the surface
		up := vec{0, outward * s, c}    // square to the surface
		run := vec{1, 0, 0}
		force, moment := vec{a.Fx, a.Fy, a.Fz}, vec{a.Mx, a.My, a.Mz}
		by := weightFactors{unfavourable: 1.1, favourable: 0.9}
		for edge, of := range []struct {
			at  vec // a point of it
			out vec // away from the post, along the surface
		}{{fall.times(given.Outward), fall}, {fall.times(-given.Inward), fall.times(-1)}, {run.times(given.Along), run}, {run.times(-given.Along), run.times(-1)}} {
			axis := up.cross(of.out) // about which a force outward above the surface tips it
			about := func(place, f vec) float64 { return place.plus(of.at.times(-1)).cross(f).dot(axis) }
			tips, holds := moment.dot(axis)+about(vec{}, force), 0.0
			for _, b := range given.Weights {
				place := fall.times(b.Outward).plus(run.times(b.Along)).plus(up.times(b.Height))
				if m := about(place, vec{0, 0, -b.Mass * g0}); m > 0 {
					tips += 1.1 * m
				} else {
					holds -= 0.9 * m
				}
			}
			tipping, holding := w.tip(edge, &a, &by)
			if !within(tipping, math.Max(0, tips), 1e-9) || !within(holding, holds, 1e-9) {
				t.Errorf("%s: %v against %v Nm, statics %v against %v", w.edges[edge].name, tipping, holding, tips, holds)
			}
		}
		one := unfactored()
		all := force.plus(vec{0, 0, -w.weight})
		driving, pressing := w.slide(&a, &one)
		if along := math.Hypot(all.dot(fall), all.dot(run)); !within(driving, along, 1e-9) || !within(pressing, -all.dot(up), 1e-9) {
			t.Errorf("slides by %v N under %v, statics %v under %v", driving, pressing, along, -all.dot(up))
		}
	}
}

// On the flat an unfactored foot is the sheet's; on a slope a weight drives by the unfavourable
// factor and presses by the favourable one: 1.1 G sin θ over μ 0.9 G cos θ.
func TestSlidingOfItsOwnWeight(t *testing.T) {
	slope := 10 * math.Pi / 180
	given := &barrier.Counterweight{Weights: []barrier.Weight{{Mass: 100}}, Outward: 1, Inward: 1, Along: 1, Slope: slope,
		Friction: &barrier.Friction{Coefficient: 0.4, Values: barrier.Design, ValuesFactor: 1}}
	u := newWeighted(given, 1).slidingBy(weightFactors{unfavourable: 1.1, favourable: 0.9})(&FootActions{}, nil)
	compared(t, verification.Feet, "sliding down a slope").near("utilisation", u, 1.1*math.Tan(slope)/(0.9*0.4), 1e-12, "statics: 1.1 G sin θ over μ 0.9 G cos θ")
}

// Listed friction is divided by 1.3 and capped outdoors and with frost; the user's own is
// divided by its own factor.
func TestDesignFriction(t *testing.T) {
	mat := &barrier.Contact{Name: "rubber mat", Coefficient: 0.6}
	for _, c := range []struct {
		f    barrier.Friction
		want float64
	}{
		{barrier.Friction{Contact: mat, Coefficient: 0.6, Place: barrier.Indoors}, 0.6 / 1.3},
		{barrier.Friction{Contact: mat, Coefficient: 0.6, Place: barrier.Outdoors}, 0.3},
		{barrier.Friction{Contact: mat, Coefficient: 0.6, Place: barrier.Frost}, 0.2},
		{barrier.Friction{Contact: mat, Coefficient: 0.1, Place: barrier.Frost}, 0.1 / 1.3},
		{barrier.Friction{Coefficient: 0.6, Values: barrier.Characteristic, ValuesFactor: 1.5}, 0.4},
	} {
		if got := designFriction(&c.f); !within(got, c.want, 1e-12) {
			t.Errorf("%+v counts %v, want %v (rule of the program: /1.3, 0.3 outdoors, 0.2 with frost)", c.f, got, c.want)
		}
	}
}

// weightedFeet is a barrier of lone posts on weighted feet, 90 kg at 0.4 m inward of the post.
func weightedFeet(keys string) scenario {
	s := lonePosts()
	s.scope, s.knee = "leave_out = [\"fitting\", \"geometry\"]", ""
	s.load = "kind = \"point\"\nvalue = \"100 N\"\ndirection = \"across\"\nname = \"people\""
	s.base = "kind = \"counterweight\"\nstiffness = \"150 kNm/rad\"\nsocket_moment = \"1 kNm\"\nvalues = \"design\"\ncounterweight = { outward = \"200 mm\", inward = \"900 mm\", along = \"300 mm\", arm_moment = \"1 kNm\", values = \"design\", " + keys + " }"
	return s
}

const (
	oneWeight = `weights = [{ mass = "90 kg", outward = "-400 mm" }]`
	rubber    = `friction = { contact = "rubber mat", place = "indoors" }`
)

// A weighted foot from its file to its rows, outward and inward, by hand: 1.5 times 100 N at
// 1.1 m against 0.9 times the weights, the lighter side governing.
func TestWeightedFoot(t *testing.T) {
	r := weightedFeet(oneWeight + ", " + rubber).check(t)
	if r.Status != Pass {
		t.Fatalf("%s: %+v", r.Headline, r.Unchecked)
	}
	own := r.row(t, "base-counterweight-slide", "post 1") // R = μ (0.9 G + own weight)
	const W = 90 * g0
	pressed := own.Resistance*1.3/0.6 - 0.9*W // 0.9 times what stands on the post
	if pressed < 50 || pressed > 150 || !within(own.Demand, 150, 2e-8) {
		t.Errorf("slides by %v N, held by %v with %v N of the post", own.Demand, own.Resistance, pressed)
	}
	tip := r.row(t, "base-counterweight-tilt", "post 1")
	inward, outward := (165-0.9*pressed)/(0.9*W*0.5), (165-0.2*pressed)/(0.9*W*0.6)
	if want := math.Max(inward, outward); !within(*tip.Utilisation, want, 1e-7) || tip.LimitState != "EQU" || !strings.Contains(tip.Load, "outward") == (outward > inward) {
		t.Errorf("tipping %v under %s, want outward %v, inward %v", *tip.Utilisation, tip.Load, outward, inward)
	}
	global := r.row(t, "base-counterweight-global", "post 1")
	inward, outward = (110-0.9*pressed/0.9)/(W*0.5), (110-0.2*pressed/0.9)/(W*0.6)
	if want := 1.5 * math.Max(inward, outward); !within(*global.Utilisation, want, 1e-7) {
		t.Errorf("global %v, want %v", *global.Utilisation, want)
	}
	if len(r.BaseActions) == 0 || !strings.Contains(fmt.Sprint(r.BaseActions), "equilibrium") {
		t.Error("no base actions of equilibrium")
	}
}

// The mirrored barrier, with the hazard on its right, gives the same.
func TestWeightedFootMirrored(t *testing.T) {
	left := weightedFeet(oneWeight + ", " + rubber)
	left.load = outward
	right := left
	right.run += "\nhazard = \"right\""
	a, b := left.check(t), right.check(t)
	for _, id := range []string{"base-counterweight-tilt", "base-counterweight-global", "base-counterweight-slide"} {
		if u, v := *a.row(t, id, "post 1").Utilisation, *b.row(t, id, "post 1").Utilisation; !within(u, v, 1e-9) || u < 1 {
			t.Errorf("%s: %v on the left, %v on the right", id, u, v)
		}
	}
}

// Every edge is found: the worst over all is the worst of those that are made to govern alone.
func TestWorstEdge(t *testing.T) {
	const many = `weights = [{ mass = "25 kg", outward = "-300 mm" }]`
	s := weightedFeet(many + ", " + rubber)
	s.top, s.load = through, "kind = \"point\"\nvalue = \"100 N\"\ndirection = \"horizontal\"\nname = \"people\""
	at := func(outward, inward, along float64) map[string]float64 {
		d := s.definition(t)
		b := d.Post.Base.Counterweight
		b.Outward, b.Inward, b.Along = outward, inward, along
		out := map[string]float64{}
		for _, row := range result(t, d, Options{}).Checks {
			if row.ID == "base-counterweight-tilt" {
				out[row.Element] = *row.Utilisation
			}
		}
		return out
	}
	const far = 50
	all, out, in, along := at(0.25, 0.8, 0.4), at(0.25, far, far), at(far, 0.8, far), at(far, far, 0.4)
	for post, u := range all {
		if want := max(out[post], in[post], along[post]); !within(u, want, 1e-9) || u == 0 {
			t.Errorf("%s: %v over all edges, %v outward, %v inward, %v along", post, u, out[post], in[post], along[post])
		}
	}
}

// Wind that lifts tips a foot about every edge, and a foot that is lifted does not slide, it
// flies: no bound.
func TestLiftedWeights(t *testing.T) {
	s := weightedFeet(oneWeight + ", " + rubber)
	s.load = "kind = \"point\"\nvalue = \"600 N\"\ndirection = \"up\"\nname = \"lift\""
	r := s.check(t)
	if u := *r.row(t, "base-counterweight-tilt", "post 2").Utilisation; u <= 1 || r.Status != Fail {
		t.Errorf("lifted by more than it weighs: tipping %v, %s", u, r.Status)
	}
}

// Nothing passes that was not checked: friction, the arm, the socket, an accidental load.
func TestOpenWeightedFoot(t *testing.T) {
	r := weightedFeet(oneWeight).check(t)
	if it := item(r.Unchecked, "ground: sliding"); r.Status != Incomplete || it == nil || !within(it.Demand, 150, 2e-8) {
		t.Errorf("without friction: %s, %+v", r.Status, r.Unchecked)
	}
	s := weightedFeet(oneWeight + ", " + rubber)
	s.base = strings.Replace(s.base, "arm_moment = \"1 kNm\", values = \"design\", ", "", 1)
	if r := s.check(t); r.Status != Incomplete || item(r.Unchecked, "arm or plate of the foot: moment") == nil {
		t.Errorf("without a tested arm: %s, %+v", r.Status, r.Unchecked)
	}
	s = weightedFeet(oneWeight + ", " + rubber)
	s.load = "schedule = \"EN 13374\"\noccupancy = \"class A\""
	r = s.check(t)
	found := false
	for _, it := range r.Unchecked {
		found = found || strings.Contains(it.Item, "accidental")
	}
	if !found {
		t.Errorf("the accidental load of EN 13374 is not told: %+v", r.Unchecked)
	}
}

// The factors on weights of each basis.
func TestWeightFactors(t *testing.T) {
	for basis, want := range map[loads.Basis][2]float64{
		loads.BasisEN:   {1.10, 0.90}, // EN 1990 Table A1.2(A), public
		loads.BasisLRFD: {1.2, 0.9},   // ASCE 7-16 2.3.1 combinations 2 and 5, memory
		loads.BasisASD:  {1.0, 0.6},   // ASCE 7-16 2.4.1 combinations 2 and 7, memory
		loads.BasisCSA:  {1.25, 0.9},  // NBC Table 4.1.3.2.-A, memory
		loads.BasisAS:   {1.2, 0.9},   // AS/NZS 1170.0 4.2, memory
	} {
		c := &run{d: &barrier.Definition{Basis: basis}, combos: loads.CombinationsOf(basis)}
		if got := c.weightFactors(); got.unfavourable != want[0] || got.favourable != want[1] {
			t.Errorf("%s: %v and %v, want %v", basis, got.unfavourable, got.favourable, want)
		}
		c.d.Combine.Own = []barrier.OwnCombination{{Situation: loads.Equilibrium, Permanent: [2]float64{1.05, 0.85}}}
		if got := c.weightFactors(); got.unfavourable != max(1.05, want[0]) || got.favourable != min(0.85, want[1]) {
			t.Errorf("%s beside a combination of the user's: %v and %v, want the more cautious", basis, got.unfavourable, got.favourable)
		}
	}
}
