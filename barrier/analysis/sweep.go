package analysis

import (
	"math"

	"example.com/stanchion/solver"
)

// sweep is a line load that is free to turn and to stand on any lengths, seen at
// one section. For the slope c of a measure the worst way n and lengths S make
// the integral over S of b·n the largest, b(x) being the load's influence lines
// summed by c: S is where b·n is positive, and n leans with the integral of b
// over S. Each of the two steps gains, and so does a new slope for a measure that
// curves upwards.
//
// Lengths and way hold for the opposite slope with the opposite way.
type sweep struct {
	v      *section
	nd     int
	active []int
	count  int // of pieces
	length []float64
	cubics [][4]float64 // of each piece, direction and active component, times the size of the load
	wholes []float64    // their integrals over the piece
	limit  components   // no way and lengths move a component by more

	slope    [][4]float64    // of each piece and direction: summed by the slope in hand
	wholesOf []float64       // their integrals
	parts    []sweepPart     // where the load stands
	adverse  [nState][]swept // to each component, once asked for
	pairs    [2][]swept      // to directions of the bending moment, and of the shear

	roomC [][4]float64
	roomN []float64
	roomP []sweepPart

	one  solver.Piece // room for positive
	ends [4]float64
	over []solver.Length
}

// sweepPart is a length of a piece on which the load stands.
type sweepPart struct {
	piece    int
	from, to float64 // from the start of the piece, m
	whole    bool
}

// swept is a load as it stands: adverse to a slope, along a way, and what it does.
type swept struct {
	slope components
	n     [3]float64
	unit  components
}

func (s *swept) turned() swept {
	t := swept{n: opposite(&s.n)}
	for k := range t.unit {
		t.slope[k], t.unit[k] = -s.slope[k], -s.unit[k]
	}
	return t
}

// newSweep readies a section for loads that turn, in the room of a sweep that is
// done with, if any.
func newSweep(v *section, done *sweep) *sweep {
	w := &sweep{v: v, nd: len(v.action.basis), active: v.active, count: len(v.sizes)}
	per := w.nd * len(w.active)
	if done != nil {
		w.roomC, w.roomN, w.roomP, w.over = done.roomC, done.roomN, done.roomP, done.over
	}
	if need := w.count * (per + w.nd); cap(w.roomC) < need {
		w.roomC = make([][4]float64, need)
	}
	if need := w.count * (1 + per + w.nd); cap(w.roomN) < need {
		w.roomN = make([]float64, need)
	}
	cubics, numbers := w.roomC[:w.count*(per+w.nd)], w.roomN[:w.count*(1+per+w.nd)]
	w.cubics, w.slope = cubics[:w.count*per], cubics[w.count*per:]
	w.length, numbers = numbers[:w.count], numbers[w.count:]
	w.wholes, w.wholesOf = numbers[:w.count*per], numbers[w.count*per:]
	if cap(w.roomP) < w.count+8 {
		w.roomP = make([]sweepPart, 0, w.count+8)
	}
	w.parts = w.roomP[:0]
	w.one.Coeffs = make([][4]float64, 1)
	for i := range w.count {
		for j, k := range w.active {
			p := &v.lines[k].Pieces[i]
			w.length[i] = p.To - p.From
			for d := range w.nd {
				at := (i*w.nd+d)*len(w.active) + j
				for e, c := range p.Coeffs[d] {
					w.cubics[at][e] = v.action.Value * c
				}
				w.wholes[at] = area(&w.cubics[at], 0, w.length[i])
			}
		}
	}
	return w
}

// setLimits bounds each component by its largest adverse integrals along each
// direction, taken together as if one way gave them all.
func (w *sweep) setLimits() {
	for j, k := range w.active {
		sum := 0.0
		for d := range w.nd {
			up, down := 0.0, 0.0
			for i := range w.count {
				at := (i*w.nd+d)*len(w.active) + j
				all := w.wholes[at]
				switch signOf(&w.cubics[at], w.length[i]) {
				case 1:
					up += all
				case -1:
					down -= all
				case 0:
					gain := 0.0
					for _, l := range w.positive(&w.cubics[at], w.length[i]) {
						gain += area(&w.cubics[at], l.From, l.To)
					}
					up += gain
					down += gain - all
				}
			}
			most := max(up, down)
			sum += most * most
		}
		w.limit[k] = math.Sqrt(sum)
	}
}

// area returns the integral of a cubic from a to b.
func area(c *[4]float64, a, b float64) float64 {
	upTo := func(x float64) float64 { return x * (c[0] + x*(c[1]/2+x*(c[2]/3+x*(c[3]/4)))) }
	if a == 0 {
		return upTo(b)
	}
	return upTo(b) - upTo(a)
}

// signOf returns 1 for a cubic that is nowhere negative over a length, -1 for one
// that is nowhere positive, by its Bernstein coefficients; 0 where they do not
// tell.
func signOf(c *[4]float64, length float64) int {
	p0, p3 := c[0], c[0]+length*(c[1]+length*(c[2]+length*c[3]))
	if p0*p3 < 0 {
		return 0
	}
	p1 := p0 + c[1]*length/3
	p2 := 2*p1 - p0 + c[2]*length*length/3
	switch {
	case p0 <= 0 && p1 <= 0 && p2 <= 0 && p3 <= 0:
		return -1
	case p0 >= 0 && p1 >= 0 && p2 >= 0 && p3 >= 0:
		return 1
	}
	return 0
}

// positive returns the lengths over which a cubic is positive, good until the next
// call: solver.Adverse for one piece, in room that is kept.
func (w *sweep) positive(c *[4]float64, length float64) []solver.Length {
	w.one.To, w.one.Coeffs[0] = length, *c
	ends := w.one.Stationary(w.ends[:0], 0) // between these the cubic is monotone
	ends = append(ends, length)
	at := func(x float64) float64 { return c[0] + x*(c[1]+x*(c[2]+x*c[3])) }
	w.over = w.over[:0]
	add := func(from, to float64) {
		if n := len(w.over); n > 0 && w.over[n-1].To == from {
			w.over[n-1].To = to
			return
		}
		w.over = append(w.over, solver.Length{From: from, To: to})
	}
	a, fa := 0.0, at(0)
	for _, b := range ends {
		fb := at(b)
		switch {
		case fa*fb < 0:
			x := crossing(c, a, b, fa, fb)
			if fa > 0 {
				add(a, x)
			} else {
				add(x, b)
			}
		case fa > 0 || fb > 0:
			add(a, b)
		}
		a, fa = b, fb
	}
	return w.over
}

// crossing returns where a cubic that is monotone between a and b changes sign, by
// Newton's method kept within the bracket by halving; fa and fb are its values at
// the ends. What the load gains is level there: an end of a length off by a
// billionth of it costs nothing.
func crossing(c *[4]float64, a, b, fa, fb float64) float64 {
	x, near := (a*fb-b*fa)/(fb-fa), 1e-9*(b-a)
	for range 60 {
		f := c[0] + x*(c[1]+x*(c[2]+x*c[3]))
		if f == 0 {
			return x
		}
		if (f < 0) == (fa < 0) {
			a = x
		} else {
			b = x
		}
		next := x - f/(c[1]+x*(2*c[2]+3*x*c[3]))
		if !(next > a && next < b) {
			next = 0.5 * (a + b)
		}
		if math.Abs(next-x) <= near {
			return next
		}
		x = next
	}
	return x
}

// lean sets the slope that ways and lengths are sought for.
func (w *sweep) lean(slope *components) {
	for i := range w.count * w.nd {
		var sum [4]float64
		all := 0.0
		for j, k := range w.active {
			f := slope[k]
			if f == 0 {
				continue
			}
			c := &w.cubics[i*len(w.active)+j]
			sum[0] += f * c[0]
			sum[1] += f * c[1]
			sum[2] += f * c[2]
			sum[3] += f * c[3]
			all += f * w.wholes[i*len(w.active)+j]
		}
		w.slope[i], w.wholesOf[i] = sum, all
	}
}

// stand lets the load stand where it gains along n, and returns the gain for each
// direction: the way that gains most there leans with it.
func (w *sweep) stand(n *[3]float64) (gain [3]float64) {
	w.parts = w.parts[:0]
	for i := range w.count {
		b := w.slope[i*w.nd : (i+1)*w.nd]
		all := w.wholesOf[i*w.nd : (i+1)*w.nd]
		var q [4]float64
		for d := range b {
			q[0] += n[d] * b[d][0]
			q[1] += n[d] * b[d][1]
			q[2] += n[d] * b[d][2]
			q[3] += n[d] * b[d][3]
		}
		switch signOf(&q, w.length[i]) {
		case 1:
			for d := range all {
				gain[d] += all[d]
			}
			w.parts = append(w.parts, sweepPart{i, 0, w.length[i], true})
		case 0:
			for _, l := range w.positive(&q, w.length[i]) {
				for d := range b {
					gain[d] += area(&b[d], l.From, l.To)
				}
				w.parts = append(w.parts, sweepPart{i, l.From, l.To, false})
			}
		}
	}
	return gain
}

// unit returns what the load does as it stands, pointing along n.
func (w *sweep) unit(n *[3]float64) (c components) {
	for _, p := range w.parts {
		for d := range w.nd {
			if n[d] == 0 {
				continue
			}
			at := (p.piece*w.nd + d) * len(w.active)
			for j, k := range w.active {
				if p.whole {
					c[k] += n[d] * w.wholes[at+j]
				} else {
					c[k] += n[d] * area(&w.cubics[at+j], p.from, p.to)
				}
			}
		}
	}
	return c
}

// lengths returns where the load stands.
func (w *sweep) lengths() (out []solver.Length, whole bool) {
	if len(w.active) == 0 {
		return nil, false
	}
	pieces := w.v.lines[w.active[0]].Pieces
	for _, p := range w.parts {
		l := solver.Length{From: pieces[p.piece].From + p.from, To: pieces[p.piece].From + p.to}
		if n := len(out); n > 0 && l.From-out[n-1].To < 1e-9 {
			out[n-1].To = l.To
			continue
		}
		out = append(out, l)
	}
	// Beyond the pieces nothing arrives: the whole of them is the whole run.
	if len(out) == 1 && out[0].From-pieces[0].From < 1e-9 && pieces[w.count-1].To-out[0].To < 1e-9 {
		return []solver.Length{w.v.whole}, true
	}
	return out, false
}

// settle seeks the worst way for a slope from a start, in a few steps.
func (w *sweep) settle(slope *components, n [3]float64, steps int) (swept, float64) {
	gain := 0.0
	for range steps {
		to := w.stand(&n)
		size := math.Sqrt(inner(&to, &to))
		if size <= gain*(1+1e-9) {
			break
		}
		gain, n = size, unit(to)
	}
	w.stand(&n)
	return swept{slope: *slope, n: n, unit: w.unit(&n)}, gain
}

// resultants returns the pairs of components that count together.
func resultants() [2][2]int { return [2][2]int{{cMy, cMz}, {cVy, cVz}} }

// loads returns loads to begin with, the opposite of each aside: adverse to each
// component that counts, and to directions of a resultant both of whose
// components count.
func (w *sweep) loads(counts *[nState]bool) (out []swept) {
	for _, k := range w.active {
		if counts[k] && w.limit[k] > 0 {
			out = append(out, w.adverseTo(k)...)
		}
	}
	for i, r := range resultants() {
		x, y := r[0], r[1]
		if !counts[x] || !counts[y] || w.limit[x] == 0 || w.limit[y] == 0 {
			continue
		}
		if w.pairs[i] == nil {
			w.pairs[i] = w.between(x, y)
		}
		out = append(out, w.pairs[i]...)
	}
	return out
}

// adverseTo returns the load that gives most of a component, from the best of a
// compass, and another from the best that is far from it.
func (w *sweep) adverseTo(k int) []swept {
	if w.adverse[k] != nil {
		return w.adverse[k]
	}
	var slope components
	slope[k] = 1 / w.limit[k]
	w.lean(&slope)
	starts := compass(w.nd)
	gains := make([]float64, len(starts))
	half := len(starts) / 2
	for i := range half {
		gains[i], gains[half+i] = w.gains(&starts[i])
	}
	var most float64
	var out []swept
	for range 2 {
		top := 0
		for i := range gains {
			if gains[i] > gains[top] {
				top = i
			}
		}
		s, gain := w.settle(&slope, starts[top], 12)
		switch {
		case len(out) == 0:
			out, most = append(out, s), gain
		case math.Abs(inner(&s.n, &out[0].n)) < 0.999:
			out = append(out, s)
			if gain > most {
				out[0], out[1] = out[1], out[0]
			}
		}
		from := starts[top]
		for i := range gains {
			if inner(&starts[i], &from) > 0.8 {
				gains[i] = -1
			}
		}
	}
	w.adverse[k] = out
	return out
}

// between returns loads adverse to cos a·x + sin a·y, a between the two components
// over half a turn: over the other half they are their opposites.
func (w *sweep) between(x, y int) (out []swept) {
	starts := [2][3]float64{w.adverseTo(x)[0].n, w.adverseTo(y)[0].n}
	for _, angle := range [2]float64{math.Pi / 4, 3 * math.Pi / 4} {
		var slope components
		slope[y], slope[x] = math.Sincos(angle)
		w.lean(&slope)
		out = append(out, w.bestOf(&slope, starts[:]))
	}
	return out
}

// gains returns what a load gains for the slope in hand along n, and along the
// opposite: where the one stands the other does not.
func (w *sweep) gains(n *[3]float64) (along, against float64) {
	g := w.stand(n)
	along = inner(&g, n)
	all := 0.0
	for i := range w.count {
		for d := range w.nd {
			all += n[d] * w.wholesOf[i*w.nd+d]
		}
	}
	return along, along - all
}

// bestOf settles from the start that gains most for the slope in hand, or from the
// opposite of one.
func (w *sweep) bestOf(slope *components, starts [][3]float64) swept {
	var top [3]float64
	most := -1.0
	for i := range starts {
		along, against := w.gains(&starts[i])
		if along > most {
			top, most = starts[i], along
		}
		if against > most {
			top, most = opposite(&starts[i]), against
		}
	}
	s, _ := w.settle(slope, top, 6)
	return s
}
