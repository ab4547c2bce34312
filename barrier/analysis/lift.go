package analysis

import (
	"math"
	"slices"

	"example.com/stanchion/barrier"
	"example.com/stanchion/solver"
)

// A load that acts off the axes of the rails it stands on, above them, below them or beside
// them, has a couple about those axes that no rail which is free to spin can take. It goes to
// the posts in the ratio of their reactions: each post feels the force with which a rail
// pushes it at that level as if it acted off the axis as far as the load does.
//
// What the load does to a response is then the sum of its influence line and of those of the
// rails' pushes on the posts, each times what its couple does to the response. That couple's
// part is the slope, up the post, of the response's influence line for a force on the post:
// two opposite forces a little apart are a couple. So the lines stay lines, cubic piece by piece,
// and every search holds for them.

// isOffAxis reports whether an action has a couple about its rails.
func (a *Action) isOffAxis() bool { return !a.Posts && (a.Lift != 0 || a.aside != 0) }

// couple returns the couple about the two level axes, global ones, of a push on a post of a leg.
func (a *Action) couple(leg int, push solver.Vec) solver.Vec {
	left := a.run.Axes(leg)[1]
	m := crossed(solver.Vec{a.aside * left[0], a.aside * left[1], a.Lift}, push)
	m[2] = 0 // of a load along the rails, about the post's own axis: that is theirs to take
	return m
}

func crossed(a, b solver.Vec) solver.Vec {
	return solver.Vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// push is where a rail pushes a post.
type push struct {
	post   int
	node   solver.NodeID
	member int // of the post, that ends there
	leg    int
	by     [3]solver.Response // the force on the post, global axes
}

// pushes returns where the rails of an action push the posts.
func (r *Replayer) pushes(a *Action) (out []push) {
	for _, s := range a.Rails {
		for post, g := range r.Frame.Rails[s.Rail].Grips {
			if g.Found == barrier.FittingMissing {
				continue
			}
			pf := &r.Frame.Posts[post]
			q := push{post: post, node: pf.Nodes[g.Level], member: g.Level - 1, leg: pf.Leg}
			q.by = r.pushOf(a.run, &g, post)
			out = append(out, q)
		}
	}
	return out
}

// pushOf returns what a rail does to a post where it is gripped, global axes: a section force is what
// lies beyond does to what lies before.
func (r *Replayer) pushOf(run *barrier.Run, g *barrier.Grip, post int) (by [3]solver.Response) {
	leg := r.Frame.Posts[post].Leg
	after := leg
	if run.IsCorner(post) {
		after++
	}
	var factors [3][]float64
	var of []solver.Response
	side := func(id solver.MemberID, station, sign float64, leg int) {
		axes := run.RailAxes(leg)
		for c := range 3 {
			of = append(of, r.model.Section(id, station, solver.Component(c)))
			for k := range factors {
				factors[k] = append(factors[k], sign*axes[c][k])
			}
		}
	}
	if g.LeftID >= 0 {
		side(g.LeftID, r.Frame.Length(g.LeftID), -1, leg)
	}
	if g.RightID >= 0 {
		side(g.RightID, 0, 1, after)
	}
	for k := range by {
		by[k] = solver.Combine(factors[k], of)
	}
	return by
}

// withCouples adds to a case of an action's load the couples it puts on posts.
func (r *Replayer) withCouples(a *Action, c solver.Case) solver.Case {
	if !a.isOffAxis() {
		return c
	}
	s := r.model.Solve(c)
	for _, q := range r.pushes(a) {
		m := a.couple(q.leg, solver.Vec{s.Value(q.by[0]), s.Value(q.by[1]), s.Value(q.by[2])})
		c.Nodes = append(c.Nodes, solver.NodeLoad{Node: q.node, Moment: m})
	}
	return c
}

// lifting is what the couples of an action take to be felt.
type lifting struct {
	couples   []felt
	influence influence    // of forces on the posts, a direction for each felt couple
	stretch   []int        // of each push: that of the posts which ends where it is
	length    []float64    // of that stretch, m
	pushes    []pushLines  // of each push
	room      [][4]float64 // for lines up the posts
}

// felt is a couple about a level global axis that some push has. Its part in a response is a sign times the slope up the
// post of the response's line under a force: forces to the left, one above the other, turn backwards about the run.
type felt struct {
	axis  int
	force solver.Vec // global axes
	sign  float64
}

// pushLines are the influence lines of the couple of a push about the two level axes.
type pushLines [2]coupleLine

// coupleLine is an influence line over the stretches on which it is felt: from the first, as many cubics a stretch
// of the action's chain as the action has directions.
type coupleLine struct {
	first  int
	cubics [][4]float64
}

// lifted readies the couples of an action.
func (a *Analysis) lifted(action int) *lifting {
	if l := a.liftings[action]; l != nil {
		return l
	}
	posts := a.postChain()
	at := map[solver.MemberID]int{}
	for i := range posts.Stretches() {
		for _, part := range posts.Parts(i) {
			at[part.Member] = i
		}
	}
	l, pushes := &lifting{}, a.pushes(a.Actions[action])
	for _, q := range pushes {
		id := a.Frame.Posts[q.post].Members[q.member]
		l.stretch, l.length = append(l.stretch, at[id]), append(l.length, a.Frame.Length(id))
	}
	l.pushes = a.pushLines(action, pushes)
	l.couples = feltOf(l.pushes)
	if directions := directionsOf(l.couples); len(directions) > 0 {
		l.influence = a.influence(posts, directions)
		l.room = make([][4]float64, len(directions)*posts.Stretches())
	}
	a.liftings[action] = l
	return l
}

// postChain is the chain of every post, for forces in global axes.
func (a *Analysis) postChain() *solver.Chain {
	up := onBarrier(a.Definition)
	up.onPosts(a.Definition, a.Definition.Post.Base.Level, math.Inf(1), func(post, leg int) float64 {
		if leg != a.Frame.Posts[post].Leg {
			return 0
		}
		return 1
	})
	rows := up.rows(a.Frame)
	for i := range rows {
		rows[i].Axes, rows[i].Stub = nil, false
	}
	return a.model.Chain(rows...)
}

// pushLines returns the lines of the couples of each push of an action.
func (a *Analysis) pushLines(action int, pushes []push) (out []pushLines) {
	act, nd := a.Actions[action], len(a.Actions[action].basis)
	whole := make([][4]float64, nd*a.chains[action].Stretches())
	for _, q := range pushes {
		var lines pushLines
		for k := range lines {
			about := solver.Combine(coupleRow(act, q.leg, k), q.by[:])
			from, to := a.influenceOf(action).CubicsWithin(whole, about)
			written := whole[from*nd : to*nd]
			lines[k] = coupleLine{from, slices.Clone(written)}
			clear(written)
		}
		out = append(out, lines)
	}
	return out
}

// feltOf returns the couples that some push has.
func feltOf(pushes []pushLines) (out []felt) {
	for k, of := range [2]felt{{0, solver.Vec{0, 1, 0}, -1}, {1, solver.Vec{1, 0, 0}, 1}} {
		if slices.ContainsFunc(pushes, func(p pushLines) bool { return len(p[k].cubics) > 0 }) {
			out = append(out, of)
		}
	}
	return out
}

func directionsOf(couples []felt) (out []solver.Vec) {
	for i := range couples {
		out = append(out, couples[i].force)
	}
	return out
}

// coupleRow returns the factors on the three parts of a push that give its couple about a
// level global axis.
func coupleRow(act *Action, leg, axis int) (row []float64) {
	for k := range 3 {
		var one solver.Vec
		one[k] = 1
		row = append(row, act.couple(leg, one)[axis])
	}
	return row
}

// cubicsOf adds the influence line of a response under an action to dst, as
// [solver.Influence.CubicsWithin] does: that of its force, and of its couples.
func (a *Analysis) cubicsOf(dst [][4]float64, action int, r solver.Response) (from, to int) {
	from, to = a.influenceOf(action).CubicsWithin(dst, r)
	if !a.Actions[action].isOffAxis() {
		return from, to
	}
	l, nd := a.lifted(action), len(a.Actions[action].basis)
	n := len(l.couples)
	if n == 0 {
		return from, to
	}
	low, high := l.influence.CubicsWithin(l.room, r)
	for i := range l.pushes {
		st := l.stretch[i]
		if st < low || st >= high {
			continue
		}
		for d, of := range l.couples {
			line := &l.pushes[i][of.axis]
			slope := of.sign * slopeAt(&l.room[n*st+d], l.length[i])
			if slope == 0 || len(line.cubics) == 0 {
				continue
			}
			line.addTo(dst[line.first*nd:], slope)
			from, to = joined(from, to, line.first, line.first+len(line.cubics)/nd)
		}
	}
	clear(l.room[n*low : n*high])
	return from, to
}

// addTo adds a line times a factor to cubics from its first stretch on.
func (c *coupleLine) addTo(dst [][4]float64, factor float64) {
	for i := range c.cubics {
		for e, v := range c.cubics[i] {
			dst[i][e] += factor * v
		}
	}
}

// joined returns the range that holds two, of which the first may be empty.
func joined(from, to, first, end int) (least, most int) {
	if from == to {
		return first, end
	}
	return min(from, first), max(to, end)
}

func slopeAt(c *[4]float64, x float64) float64 { return c[1] + x*(2*c[2]+3*x*c[3]) }
