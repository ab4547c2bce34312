package check

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/verification"
)

// grillage is a second method for a barrier with free fittings: what happens
// across and what happens down the posts do not meet, so each is a set of rails
// as Hermite beams on springs, one spring matrix a post, solved densely. The post
// is its flexibility by closed forms, not a member. It shares no code with the
// solver or the search.
type grillage struct {
	d       *barrier.Definition
	springs *mat.Dense // of one post, between the rails, N/m
	nodes   [][]float64
	first   []int // freedom of the first node of a rail
	k       *mat.Dense
}

// acrossPost returns the flexibility of a post across: a²(3b - a)/6EI + ab/k for a
// force at b and the movement at a ≤ b.
func acrossPost(d *barrier.Definition) func(a, b float64) float64 {
	EI, k := d.Post.Grade.E*d.Post.Ring.I, d.Post.Base.Stiffness[0]
	return func(a, b float64) float64 {
		lo, hi := math.Min(a, b), math.Max(a, b)
		return lo*lo*(3*hi-lo)/(6*EI) + a*b/k
	}
}

// alongPost returns the flexibility of a post along itself: a/EA below both.
func alongPost(d *barrier.Definition) func(a, b float64) float64 {
	EA := d.Post.Grade.E * d.Post.Ring.Area
	return func(a, b float64) float64 { return math.Min(a, b) / EA }
}

// newGrillage builds the stiffness with a node at x on every rail besides posts
// and splices.
func newGrillage(d *barrier.Definition, flexibility func(a, b float64) float64, x ...float64) *grillage {
	g := &grillage{d: d}
	n := len(d.Rails)
	f := mat.NewDense(n, n, nil)
	for i := range n {
		for j := range n {
			f.Set(i, j, flexibility(d.Rails[i].Height-d.Post.Base.Level, d.Rails[j].Height-d.Post.Base.Level))
		}
	}
	g.springs = mat.NewDense(n, n, nil)
	if err := g.springs.Inverse(f); err != nil {
		panic(err)
	}
	size := 0
	for r := range d.Rails {
		at := slices.Concat(d.Run.Posts, d.Rails[r].Splices, x)
		slices.Sort(at)
		at = slices.CompactFunc(at, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 })
		g.nodes, g.first = append(g.nodes, at), append(g.first, size)
		size += 3 * len(at) // movement, rotation before, rotation after
	}
	g.k = mat.NewDense(size, size, nil)
	add := func(i, j int, v float64) { g.k.Set(i, j, g.k.At(i, j)+v) }
	for r, at := range g.nodes {
		EI := d.Rails[r].Grade.E * d.Rails[r].Ring.I
		for i := range len(at) - 1 {
			L := at[i+1] - at[i]
			dof := [4]int{g.moves(r, i), g.moves(r, i) + g.side(r, i), g.moves(r, i+1), g.moves(r, i+1) + 1}
			for a, row := range hermite(EI, L) {
				for b, v := range row {
					add(dof[a], dof[b], v)
				}
			}
		}
		for i := range at {
			if g.side(r, i) == 1 { // no splice: the second rotation is not used
				add(g.moves(r, i)+2, g.moves(r, i)+2, 1)
			}
		}
	}
	for _, post := range d.Run.Posts {
		for i := range n {
			for j := range n {
				add(g.moves(i, g.node(i, post)), g.moves(j, g.node(j, post)), g.springs.At(i, j))
			}
		}
	}
	return g
}

func hermite(EI, L float64) [4][4]float64 {
	k := EI / (L * L * L)
	return [4][4]float64{
		{12 * k, 6 * L * k, -12 * k, 6 * L * k}, {6 * L * k, 4 * L * L * k, -6 * L * k, 2 * L * L * k},
		{-12 * k, -6 * L * k, 12 * k, -6 * L * k}, {6 * L * k, 2 * L * L * k, -6 * L * k, 4 * L * L * k},
	}
}

func (g *grillage) moves(rail, node int) int { return g.first[rail] + 3*node }

func (g *grillage) node(rail int, x float64) int {
	return slices.IndexFunc(g.nodes[rail], func(v float64) bool { return math.Abs(v-x) < 1e-9 })
}

// side is 2 at a splice, where the rotation after it is another.
func (g *grillage) side(rail, node int) int {
	for _, s := range g.d.Rails[rail].Splices {
		if math.Abs(s-g.nodes[rail][node]) < 1e-9 {
			return 2
		}
	}
	return 1
}

// solve returns the movements under a force at x of a rail (N) and a uniform
// load on every rail (N/m).
func (g *grillage) solve(rail int, x, force, uniform float64) *mat.VecDense {
	size, _ := g.k.Dims()
	load := mat.NewVecDense(size, nil)
	if force != 0 {
		i := g.moves(rail, g.node(rail, x))
		load.SetVec(i, force)
	}
	for r, at := range g.nodes {
		for i := range len(at) - 1 {
			L := at[i+1] - at[i]
			for dof, v := range map[int]float64{g.moves(r, i): L / 2, g.moves(r, i) + g.side(r, i): L * L / 12, g.moves(r, i+1): L / 2, g.moves(r, i+1) + 1: -L * L / 12} {
				load.SetVec(dof, load.AtVec(dof)+uniform*v)
			}
		}
	}
	var u mat.VecDense
	if err := u.SolveVec(g.k, load); err != nil {
		panic(err)
	}
	return &u
}

// foot returns the moment about a post's foot of what the rails bring to it, N·m.
func (g *grillage) foot(u *mat.VecDense, post float64) float64 {
	m := 0.0
	for i := range g.d.Rails {
		for j := range g.d.Rails {
			m += (g.d.Rails[i].Height - g.d.Post.Base.Level) * g.springs.At(i, j) * u.AtVec(g.moves(j, g.node(j, post)))
		}
	}
	return m
}

// bending returns the moment of a rail at the node x, from the element before it.
func (g *grillage) bending(u *mat.VecDense, rail int, x, uniform float64) float64 {
	i := g.node(rail, x) - 1
	L := g.nodes[rail][i+1] - g.nodes[rail][i]
	v := [4]float64{u.AtVec(g.moves(rail, i)), u.AtVec(g.moves(rail, i) + g.side(rail, i)), u.AtVec(g.moves(rail, i+1)), u.AtVec(g.moves(rail, i+1) + 1)}
	m := 0.0
	for k, s := range hermite(g.d.Rails[rail].Grade.E*g.d.Rails[rail].Ring.I, L)[3] {
		m += s * v[k]
	}
	return m + uniform*L*L/12
}

// README's worked example by the second method, the load stepped along the top
// rail by 20 mm: nothing may exceed what the check found, and what it found is
// there.
func TestGalleryByASecondMethod(t *testing.T) {
	outside := compared(t, verification.Barriers, "gallery by a second method")
	d := example(t, "gallery.toml")
	r := result(t, d, Options{})
	const factor, P = 1.75, 300 * 1.5
	moments, tops := make([]float64, len(d.Run.Posts)), make([]float64, len(d.Run.Posts))
	rail := 0.0
	g0 := d.Rails[0].Grade.Density * gFall * d.Rails[0].Ring.Area * 1.35
	for i := range 451 {
		x := 9 * float64(i) / 450
		g := newGrillage(d, acrossPost(d), x)
		u := g.solve(0, x, P, 0)
		for k, post := range d.Run.Posts {
			moments[k] = math.Max(moments[k], math.Abs(factor*g.foot(u, post)))
			tops[k] = math.Max(tops[k], math.Abs(1e3*u.AtVec(g.moves(0, g.node(0, post)))))
		}
		if i > 0 && i < 450 && math.Abs(x-5.8) > 1e-9 {
			v := newGrillage(d, alongPost(d), x)
			rail = math.Max(rail, math.Hypot(factor*g.bending(u, 0, x, 0), v.bending(v.solve(0, x, 0, g0), 0, x, g0)))
		}
	}
	// Between stations a smooth peak is missed by the square of half a step over a
	// bay, times a few: (0.01/1.5)² × 4 < 2e-4.
	const step = 2e-4
	for k := range d.Run.Posts {
		for _, v := range []struct {
			what       string
			found, got float64
		}{{"base moment", r.Posts[k].BaseMoment, moments[k]}, {"top movement", r.Posts[k].TopDeflection, tops[k]}} {
			if v.got > v.found*(1+1e-7) || v.got < v.found*(1-step) {
				t.Errorf("%s of %s: %.7g, by the second method %.7g", v.what, postName(k), v.found, v.got)
			}
		}
	}
	if rail > r.Rails[0].Moment*(1+1e-7) || rail < r.Rails[0].Moment*(1-step) {
		t.Errorf("moment of rail top under the load: %.7g, by the second method %.7g", r.Rails[0].Moment, rail)
	}
	outside.near("base moment of post 7, Nm", r.Posts[6].BaseMoment, moments[6], step*moments[6], "second method: Hermite beams on post flexibilities, dense, derived")
	outside.near("top movement of post 7, mm", r.Posts[6].TopDeflection, tops[6], step*tops[6], "second method")
	outside.near("moment of rail top, Nm", r.Rails[0].Moment, rail, step*rail, "second method")
}
