package analysis

import "math"

// fanAt is a place of a point load that is free to turn: what it does along each
// direction, unfactored, and the ways to begin with.
type fanAt struct {
	x      float64
	base   components // without the load
	by     [3]components
	starts [][3]float64
}

// of returns the fan of a measure.
func (f *fanAt) of(a *Analysis, m *Measure, nd int) fan {
	return fan{a: a, of: m.Of, nd: nd, base: f.base, by: f.by}
}

// fansPerPiece is the number of places at which a load that is free to turn is
// tried first, the ends of the piece among them.
const fansPerPiece = 9

// fansOn returns the fans of piece i, ready for all hunts at the section.
func (h *hunt) fansOn(i int) []fanAt {
	if len(h.fanned) == 0 {
		h.fans, h.fanned = sized(h.fans, len(h.v.sizes)), sized(h.fanned, len(h.v.sizes))
		clear(h.fanned)
	}
	if !h.fanned[i] {
		h.fanned[i] = true
		from, to := h.v.span(i)
		h.fans[i] = sized(h.fans[i], fansPerPiece)
		for j := range h.fans[i] {
			at := &h.fans[i][j]
			at.x = from + (to-from)*float64(j)/(fansPerPiece-1)
			at.by = h.v.fan(i, at.x)
			f := fan{nd: len(h.v.action.basis), by: at.by}
			at.starts = f.starts(at.starts[:0])
		}
	}
	return h.fans[i]
}

// fan returns what the load does at x on piece i along each direction, unfactored.
func (v *section) fan(i int, x float64) (by [3]components) {
	for _, k := range v.active {
		p := &v.lines[k].Pieces[i]
		for d := range p.Coeffs {
			by[d][k] = v.sizes[i] * p.At(d, x)
		}
	}
	return by
}

// fanOf returns the fan of a measure for what the load does along each direction.
func (h *hunt) fanOf(m int, by *[3]components) fan {
	f := fan{a: h.a, of: h.measures[m].Of, nd: len(h.v.action.basis), base: h.added}
	for d := range f.nd {
		f.by[d] = scaled(&by[d], h.combination.Variable)
	}
	return f
}

// turningOnPiece returns the best spot of a measure on one piece for a load that
// is free to turn. At the peaks of its samples place and way are sought in turn.
func (h *hunt) turningOnPiece(m, i int) spot {
	fans := h.fansOn(i)
	var values [fansPerPiece]spot
	top := 0
	for j := range fans {
		f := h.fanOf(m, &fans[j].by)
		n, v := f.first(fans[j].starts)
		values[j] = spot{value: v, piece: i, x: fans[j].x, n: n, state: f.state(&n)}
		if v > values[top].value {
			top = j
		}
	}
	if h.how == coarse {
		f := h.fanOf(m, &fans[top].by)
		n, v, _ := ascend(&f, values[top].n, few)
		s := spot{value: v, piece: i, x: fans[top].x, n: n, state: f.state(&n)}
		return h.slide(m, s, fans[max(top-1, 0)].x, fans[min(top+1, len(fans)-1)].x)
	}
	best := spot{value: math.Inf(-1)}
	for j := range fans {
		a, b := max(j-1, 0), min(j+1, len(fans)-1)
		if values[j].value < values[a].value || values[j].value < values[b].value {
			continue
		}
		f := h.fanOf(m, &fans[j].by)
		n, v := f.worst(fans[j].starts)
		s := spot{value: v, piece: i, x: fans[j].x, n: n, state: f.state(&n)}
		if s = h.walkPiece(m, s, fans[a].x, fans[b].x); s.value > best.value {
			best = s
		}
	}
	if !h.best[m].better(best.value + nearly*math.Abs(best.value)) {
		return best
	}
	from, to := h.v.span(i)
	for range 6 {
		by := h.v.fan(i, best.x)
		f := h.fanOf(m, &by)
		way, v := summit(&f, best.n, f.nd)
		if !(v > best.value+1e-12*math.Abs(best.value)) {
			break
		}
		best.value, best.n, best.state = v, way, f.state(&way)
		best = h.walkPiece(m, best, from, to)
	}
	return best
}

// nearly is more than a look around adds to a top, relative to it.
const nearly = 1.0

// slide moves a load along a piece between from and to as it points.
func (h *hunt) slide(m int, s spot, from, to float64) spot {
	n := s.n
	x, gained := climbOn(func(x float64) float64 { return h.value(m, s.piece, x, &n) }, s.x, from, to, to-from)
	if !gained {
		return s
	}
	return h.pointAt(m, s.piece, x, &n)
}

// walkPiece moves a load that is free to turn between from and to, place and way
// in turn, until neither gains.
func (h *hunt) walkPiece(m int, s spot, from, to float64) spot {
	for range 20 {
		before := s.value
		moved := h.slide(m, s, from, to)
		if moved.value <= before {
			break
		}
		s = moved
		by := h.v.fan(s.piece, s.x)
		f := h.fanOf(m, &by)
		if way, v := up(&f, s.n, f.nd); v > s.value {
			s.value, s.n, s.state = v, way, f.state(&way)
		}
		if !(s.value-before > 1e-13*math.Abs(before)) {
			break
		}
	}
	return s
}
