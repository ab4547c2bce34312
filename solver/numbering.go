package solver

import (
	"cmp"
	"slices"
)

// The width of the band is what a factorisation costs: n·b² operations for n equations
// that a member or a spring ties over at most b places. The order in which nodes were
// added is kept unless one of the orders below is narrower.
//
// A group is a node with all that joints hang on it; its equations stay together. Groups
// that a member ties are neighbours. The order walks the groups outwards from one that
// lies as far out as possible, neighbours of few neighbours first: Cuthill and McKee,
// Reducing the bandwidth of sparse symmetric matrices, 1969; the start is found as in
// George and Liu, Computer Solution of Large Sparse Positive Definite Systems, 1981,
// section 4.3. What remains equal goes by position in space, then by the order of the
// nodes: so an order hardly depends on that in which the nodes were added.

// grouping is the groups of a frame and who is whose neighbour.
type grouping struct {
	at        []Vec
	of        []int32 // node -> group
	equations listing // group -> its equations, ascending
	nodes     listing // group -> its nodes, ascending
	next      listing // group -> its neighbours
	part      []int32 // group -> the connected part of the frame that it lies in
	starts    []int32 // part -> the group at one far end
	ends      []int32 // part -> the group at the other
}

// listing holds a list for each of many owners in one piece.
type listing struct {
	from  []int32 // where the list of an owner starts; one more than owners
	items []int32
}

func (l *listing) of(owner int32) []int32 { return l.items[l.from[owner]:l.from[owner+1]] }

// listed sorts pairs of owner and item by owner. What each visits is the same every time.
func listed(owners int, each func(visit func(owner, item int32))) listing {
	l := listing{from: make([]int32, owners+1)}
	each(func(owner, _ int32) { l.from[owner+1]++ })
	for i := range owners {
		l.from[i+1] += l.from[i]
	}
	l.items = make([]int32, l.from[owners])
	room := slices.Clone(l.from)
	each(func(owner, item int32) {
		l.items[room[owner]] = item
		room[owner]++
	})
	return l
}

// grouping finds the groups, their neighbours and the connected parts.
func (s *Factored) grouping() *grouping {
	g := &grouping{of: make([]int32, len(s.frame.nodes))}
	for n := range s.frame.nodes {
		if s.frame.nodes[n].joint < 0 {
			g.of[n] = int32(len(g.at))
			g.at = append(g.at, s.frame.nodes[n].at)
		}
	}
	for n := range s.frame.nodes {
		g.of[n] = g.of[s.root(NodeID(n))]
	}
	g.equations = listed(len(g.at), func(visit func(owner, item int32)) {
		for eq, name := range s.names {
			visit(g.of[name.node], int32(eq))
		}
	})
	g.nodes = listed(len(g.at), func(visit func(owner, item int32)) {
		for n, group := range g.of {
			visit(group, int32(n))
		}
	})
	g.meet(s.frame.members)
	g.separate()
	return g
}

// root returns the node that a node hangs on by joints.
func (s *Factored) root(n NodeID) NodeID {
	for s.frame.nodes[n].joint >= 0 {
		n = s.frame.joints[s.frame.nodes[n].joint].First
	}
	return n
}

// meet lists the neighbours of each group, each once. A group without equations is
// nobody's neighbour: it ties nothing.
func (g *grouping) meet(members []Member) {
	g.next = listed(len(g.at), func(visit func(owner, item int32)) {
		for i := range members {
			a, b := g.of[members[i].Start], g.of[members[i].End]
			if a != b && len(g.equations.of(a)) > 0 && len(g.equations.of(b)) > 0 {
				visit(a, b)
				visit(b, a)
			}
		}
	})
	met := make([]int32, len(g.at)) // the last group, plus one, that met this one
	kept := g.next.items[:0]
	for a := range int32(len(g.at)) {
		list := g.next.of(a)
		g.next.from[a] = int32(len(kept))
		for _, b := range list {
			if met[b] != a+1 {
				met[b] = a + 1
				kept = append(kept, b)
			}
		}
	}
	g.next.from[len(g.at)], g.next.items = int32(len(kept)), kept
}

// separate finds the connected parts, in the order of their first nodes, and their far ends.
func (g *grouping) separate() {
	g.part = make([]int32, len(g.at))
	for a := range g.part {
		g.part[a] = -1
	}
	w := g.walker()
	for a := range int32(len(g.at)) {
		if g.part[a] >= 0 {
			continue
		}
		first := a
		for _, b := range w.walk(a) {
			g.part[b] = int32(len(g.starts))
			if g.before(b, first) < 0 {
				first = b
			}
		}
		start, end := w.farEnds(first)
		g.starts, g.ends = append(g.starts, start), append(g.ends, end)
	}
}

// before orders groups: few neighbours first, then few equations, then by position.
func (g *grouping) before(a, b int32) int {
	for _, l := range [...]*listing{&g.next, &g.equations} {
		if c := cmp.Compare(len(l.of(a)), len(l.of(b))); c != 0 {
			return c
		}
	}
	for d := range 3 {
		if c := cmp.Compare(g.at[a][d], g.at[b][d]); c != 0 {
			return c
		}
	}
	return cmp.Compare(a, b)
}

// walker walks groups level by level. Its room serves one walk after the other.
type walker struct {
	*grouping
	seen  []int32 // the walk that has seen a group
	walks int32
	order []int32
	level []int32 // where each level starts in the order
}

func (g *grouping) walker() *walker { return &walker{grouping: g, seen: make([]int32, len(g.at))} }

// walk returns all groups of a part in the order of Cuthill and McKee. What it returns
// holds until the next walk.
func (w *walker) walk(from int32) []int32 {
	w.walks++
	w.seen[from] = w.walks
	w.order, w.level = append(w.order[:0], from), append(w.level[:0], 0)
	for i, ends := 0, 1; i < len(w.order); i++ {
		if i == ends {
			w.level = append(w.level, int32(ends))
			ends = len(w.order)
		}
		met := len(w.order)
		for _, b := range w.next.of(w.order[i]) {
			if w.seen[b] != w.walks {
				w.seen[b] = w.walks
				w.order = append(w.order, b)
			}
		}
		if len(w.order) > met+1 {
			slices.SortFunc(w.order[met:], w.before)
		}
	}
	return w.order
}

// farEnds returns two groups of a part between which about as many levels lie as there are.
func (w *walker) farEnds(start int32) (from, to int32) {
	w.walk(start)
	for {
		levels := len(w.level)
		end := slices.MinFunc(w.order[w.level[levels-1]:], w.before)
		w.walk(end)
		if len(w.level) <= levels {
			return start, end
		}
		start = end
	}
}

// orders returns the orders of all groups that are tried: part by part, as their nodes
// were added; walked from either far end, and each of these backwards.
func (g *grouping) orders() [][]int32 {
	added := listed(len(g.starts), func(visit func(owner, item int32)) {
		for a, part := range g.part {
			visit(part, int32(a))
		}
	})
	out := [][]int32{added.items, nil, nil, nil, nil}
	w := g.walker()
	for i, starts := range [...][]int32{g.starts, g.ends} {
		var on []int32
		for _, start := range starts {
			on = append(on, w.walk(start)...)
		}
		back := slices.Clone(on)
		for part := range g.starts {
			slices.Reverse(back[added.from[part]:added.from[part+1]])
		}
		out[1+2*i], out[2+2*i] = on, back
	}
	return out
}

// renumber gives the equations the narrowest order of the nodes that it finds, and then each part
// of them numbers of its own.
func (s *Factored) renumber(springs ...[]spring) {
	s.renumberNodes(springs)
	s.numberApart(springs)
}

// renumberNodes gives the equations the narrowest order that it finds, the one that they have
// unless another is narrower.
func (s *Factored) renumberNodes(springs [][]spring) {
	g := s.grouping()
	nodes, parts := make([]span, len(s.frame.nodes)), make([]int, len(g.starts))
	places := identity(s.free)
	width := s.widths(g, places, nodes, springs, parts)
	orders := g.orders()
	best := make([]int, len(parts)) // part -> its narrowest order
	least := make([]int, len(parts))
	trial := make([]int32, s.free)
	for k, order := range orders {
		g.place(trial, order)
		s.widths(g, trial, nodes, springs, parts)
		for part, w := range parts {
			if k == 0 || w < least[part] {
				best[part], least[part] = k, w
			}
		}
	}
	if len(parts) == 0 || slices.Max(least) >= width {
		return
	}
	g.place(places, g.pick(orders, best))
	s.move(places, springs)
}

// pick takes the order of each part from the one that is best for it.
func (g *grouping) pick(orders [][]int32, best []int) []int32 {
	out := make([]int32, 0, len(g.at))
	for len(out) < len(g.at) {
		from := len(out)
		part := g.part[orders[0][from]]
		for _, a := range orders[best[part]][from:] {
			if g.part[a] != part {
				break
			}
			out = append(out, a)
		}
	}
	return out
}

func identity(n int) []int32 {
	out := make([]int32, n)
	for i := range out {
		out[i] = int32(i)
	}
	return out
}

// place gives the equations their places by an order of the groups.
func (g *grouping) place(places, order []int32) {
	at := int32(0)
	for _, a := range order {
		for _, eq := range g.equations.of(a) {
			places[eq] = at
			at++
		}
	}
}

// span is the first and the last free equation of several.
type span struct{ first, last int32 }

func (a span) with(b span) span { return span{min(a.first, b.first), max(a.last, b.last)} }

func (a span) width() int { return max(int(a.last)-int(a.first), 0) }

// spanOf returns the span of terms whose equations stand at the places given.
func (s *Factored) spanOf(terms []term, places []int32) span {
	out := span{int32(s.free), -1}
	for _, t := range terms {
		if t.eq < s.free {
			out = out.with(span{places[t.eq], places[t.eq]})
		}
	}
	return out
}

// widths sets, for each part, how far its equations are tied to each other, and returns
// the largest of these. It works in the room given for a span of each node.
func (s *Factored) widths(g *grouping, places []int32, nodes []span, springs [][]spring, parts []int) int {
	clear(parts)
	note := func(n NodeID, width int) {
		part := g.part[g.of[n]]
		parts[part] = max(parts[part], width)
	}
	for n := range nodes {
		nodes[n] = s.spanOf(s.nodes.termsAt(NodeID(n)), places)
	}
	for i := range s.frame.members {
		m := &s.frame.members[i]
		ends := nodes[m.Start].with(nodes[m.End])
		if nodes[m.Start].last >= 0 {
			note(m.Start, ends.width())
		} else {
			note(m.End, ends.width())
		}
	}
	for _, list := range springs {
		for i := range list {
			note(list[i].node, s.spanOf(list[i].terms, places).width())
		}
	}
	width := 0
	for _, w := range parts {
		width = max(width, w)
	}
	return width
}

// move gives every free equation its new number.
func (s *Factored) move(places []int32, springs [][]spring) {
	move := func(terms []term) {
		for i, t := range terms {
			if t.eq < s.free {
				terms[i].eq = int(places[t.eq])
			}
		}
	}
	move(s.nodes.terms)
	for _, list := range springs {
		for i := range list {
			move(list[i].terms)
		}
	}
	names := make([]equationName, len(s.names))
	for eq, name := range s.names {
		names[places[eq]] = name
	}
	s.names = names
}

// A part is equations that share stiffness with each other and with no others. A straight run moves
// across itself and within its plane in two parts, whose equations lie between each other as long as
// those of a node stay together: the band is half as wide once each part has numbers of its own.

// numberApart numbers the parts one after the other, by their first equations. In a part the
// equations keep their order.
func (s *Factored) numberApart(springs [][]spring) {
	ties := s.ties(springs)
	of, sizes := s.partsOfEquations(&ties)
	s.parts = make([]int, 1, len(sizes)+1)
	next := make([]int32, len(sizes))
	for i, n := range sizes {
		next[i] = int32(s.parts[i])
		s.parts = append(s.parts, s.parts[i]+n)
	}
	places, moved := make([]int32, s.free), false
	for eq, part := range of {
		places[eq] = next[part]
		next[part]++
		moved = moved || int(places[eq]) != eq
	}
	if moved {
		s.move(places, springs)
	}
	s.width = ties.widest(places)
}

// widest returns how far the equations of a list lie apart at most at their places.
func (l *listing) widest(places []int32) (width int) {
	for i := range int32(len(l.from) - 1) {
		tied := l.of(i)
		all := span{places[tied[0]], places[tied[0]]}
		for _, eq := range tied[1:] {
			all.first, all.last = min(all.first, places[eq]), max(all.last, places[eq])
		}
		width = max(width, all.width())
	}
	return width
}

// firsts lead from each equation, by way of others, to the first one of its part.
type firsts []int32

// of returns that one, and shortens the way.
func (f firsts) of(i int32) int32 {
	for f[i] != i {
		f[i] = f[f[i]]
		i = f[i]
	}
	return i
}

// join makes one part of those of two equations, and returns the first one of it.
func (f firsts) join(i, j int32) int32 {
	a, b := f.of(i), f.of(j)
	f[max(a, b)] = min(a, b)
	return min(a, b)
}

// partsOfEquations returns the part that each equation is of by ties, and how many each part has.
func (s *Factored) partsOfEquations(ties *listing) (of []int32, sizes []int) {
	first := firsts(identity(s.free))
	for i := range int32(len(ties.from) - 1) {
		tied := ties.of(i)
		part := tied[0]
		for _, eq := range tied[1:] {
			part = first.join(part, eq)
		}
	}
	of = make([]int32, s.free)
	for eq := range of {
		if r := first.of(int32(eq)); int(r) < eq {
			of[eq] = of[r]
		} else {
			of[eq] = int32(len(sizes))
			sizes = append(sizes, 0)
		}
		sizes[of[eq]]++
	}
	return of, sizes
}

// memberTies are the freedoms of a member's end, local axes, that its stiffness, its mass and the axial
// force in it tie to those of the other end: by its stretch, its bending in either plane, its twist.
var memberTies = [...][]Freedom{{UX}, {UY, RZ}, {UZ, RY}, {RX}}

// ties lists the free equations that may share stiffness, where there are any: those that a member
// ties, a spring or the rigid arm of a joint, and those of one freedom, which a mass there ties.
func (s *Factored) ties(springs [][]spring) listing {
	members := len(s.elements)
	l := listing{make([]int32, 1, 4*members+1), make([]int32, 0, 16*members)}
	tie := func(terms []term) {
		for _, t := range terms {
			if t.eq < s.free {
				l.items = append(l.items, int32(t.eq))
			}
		}
	}
	done := func() {
		if end := int32(len(l.items)); end > l.from[len(l.from)-1] {
			l.from = append(l.from, end)
		}
	}
	for n := range s.nodes.starts {
		for d := range Freedom(6) {
			if list := s.nodes.at(NodeID(n), d); len(list) > 1 {
				tie(list)
				done()
			}
		}
	}
	for id := range s.elements {
		ends, axes := s.ends(MemberID(id)), &s.elements[id].axes
		for _, freedoms := range memberTies {
			for _, f := range freedoms {
				for d, part := range axes[f%3] {
					if at := int(f-f%3) + d; part != 0 {
						tie(ends[at])
						tie(ends[6+at])
					}
				}
			}
			done()
		}
	}
	for _, list := range springs {
		for i := range list {
			tie(list[i].terms)
			done()
		}
	}
	for i := range s.frame.joints {
		if j := &s.frame.joints[i]; s.arm(j) != (Vec{}) {
			for turn := RX; turn <= RZ; turn++ {
				tie(s.nodes.at(j.First, turn))
			}
			done()
		}
	}
	return l
}

// levels returns the nodes in sets: a member or a joint ties nodes of one set or of two
// that follow one another. Equations of a set are tied to those of the sets before and
// after it only, so that the stiffness is block tridiagonal in them. Nodes on which nothing
// is free may be in any set.
func (s *Factored) levels() [][]NodeID {
	g := s.grouping()
	w := g.walker()
	var out [][]NodeID
	for _, start := range g.starts {
		w.walk(start)
		for i, from := range w.level {
			to := int32(len(w.order))
			if i+1 < len(w.level) {
				to = w.level[i+1]
			}
			var set []NodeID
			for _, a := range w.order[from:to] {
				for _, n := range g.nodes.of(a) {
					set = append(set, NodeID(n))
				}
			}
			out = append(out, set)
		}
	}
	return out
}
