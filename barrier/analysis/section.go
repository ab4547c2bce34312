package analysis

import (
	"math"
	"slices"
	"sort"

	"example.com/stanchion/solver"
)

// section is one station of a probe seen under one action: the influence lines
// of the components of its state, cut into the same pieces.
type section struct {
	probe   *Probe
	station float64
	action  *Action
	index   int // of the action
	active  []int
	bare    bool // of the forces alone
	lines   [nState]solver.Line
	sizes   []float64 // of the load on each piece: N, or N/m
	whole   solver.Length
	chain   *solver.Chain
	own     []ownStretch // the stretches that load the probe's own member

	carriage carriage // to the station

	largest  *components  // the largest the action does to each component
	patterns []pattern    // of a line load with one direction
	anywhere [][2]float64 // the ranges over all pieces, times the size of the load
	over     [][2]float64 // bounds of what a line load over any lengths does, of each direction and active component
	ranges   [][2]float64 // least and largest of each piece, direction and active component

	sampled [][2]int  // of each piece once it was sampled: where its samples start and end
	xs      []float64 // of the samples
	felt    []float64 // under a unit load at each sample, of each active component and direction

	wholes []float64        // integrals over each piece, of each active component and direction
	sums   []float64        // room for integrals over lengths
	runs   [1]solver.Length // the whole run

	coeffs, free [][4]float64 // room for the pieces, and what is left of it
	pieces       []solver.Piece
}

// section makes the lines of a station from those of the member's start. It
// stands in the room of the section before it, which is gone then.
func (a *Analysis) section(p *Probe, s float64, action int) *section {
	return a.sectionIn(&a.seen, p, s, action, false)
}

// sectionIn makes the lines of a station in a room of its own, bare where those of the forces do.
func (a *Analysis) sectionIn(v *section, p *Probe, s float64, action int, bare bool) *section {
	l := a.under(p, action)
	chain := a.chains[action]
	v.reset(p, s, a.Actions[action], action)
	v.chain, v.own = chain, l.own
	v.bare = bare && len(l.active) > 0 && l.active[0] <= cMz
	v.carry(p, l, s)
	v.makeRoom(l.end - l.first + 1)
	first, _ := chain.Ends(0)
	_, last := chain.Ends(chain.Stretches() - 1)
	v.whole = solver.Length{From: first, To: last}
	for st := l.first; st < l.end; st++ {
		from, to := chain.Ends(st)
		if len(chain.Parts(st)) == 0 {
			continue // a gap
		}
		own := l.ownOf(st)
		if own == nil {
			v.addPiece(l, st, from, from, to, nil)
			continue
		}
		cut := min(max(from+s-own.at, from), to)
		if cut-from > 1e-12 {
			v.addPiece(l, st, from, from, cut, own)
		}
		if to-cut > 1e-12 {
			v.addPiece(l, st, from, cut, to, nil)
		}
	}
	return v
}

// isPast reports whether a piece of the lines ends before the section, for a load on the run:
// the section lies just after a load that stands there.
func (v *section) isPast(piece *solver.Piece) bool {
	const rounding = 1e-12
	if v.probe.member < 0 {
		return false
	}
	if !v.probe.upright && !v.action.Posts {
		return piece.To <= v.probe.From+v.station+rounding
	}
	for _, own := range v.own {
		if own.stretch == piece.Stretch {
			from, _ := v.chain.Ends(own.stretch)
			return own.at+piece.To-from <= v.station+rounding
		}
	}
	return false
}

// reset clears a section for another station, keeping its room.
func (v *section) reset(p *Probe, s float64, act *Action, action int) {
	v.probe, v.station, v.action, v.index = p, s, act, action
	v.active, v.sizes = v.active[:0], v.sizes[:0]
	v.patterns, v.anywhere, v.over, v.ranges = v.patterns[:0], v.anywhere[:0], v.over[:0], v.ranges[:0]
	v.sampled, v.xs, v.felt, v.wholes = v.sampled[:0], v.xs[:0], v.felt[:0], v.wholes[:0]
	v.largest = nil
}

// carry sets the components of the state that the action moves, and how they follow from those at
// the start.
func (v *section) carry(p *Probe, l *startLines, s float64) {
	components, active := nState, l.active
	if v.bare { // forces follow from those at the start
		components = cMz + 1
		active = active[:sort.SearchInts(active, components)]
	}
	v.carriage.set(p, active, s, components)
	for k, n := range v.carriage.count[:components] {
		if n > 0 || v.passes(l.own, k) {
			v.active = append(v.active, k)
		}
	}
}

// passes reports whether a load on the member itself moves a component past it: whether
// one at its start, as passCubic has it, is felt a metre on.
func (v *section) passes(own []ownStretch, k int) bool {
	if k == cSpan && v.probe.bay == 0 {
		return false // an overhang has no chord
	}
	for i := range own {
		if i > 0 && own[i].told == own[i-1].told {
			continue
		}
		start := ownStretch{share: 1, local: own[i].local}
		for _, f := range v.action.basis {
			var felt [4]float64
			v.probe.passCubic(&felt, k, f, &start, 1)
			if felt != [4]float64{} {
				return true
			}
		}
	}
	return false
}

// makeRoom readies room for up to n pieces of every active component.
func (v *section) makeRoom(n int) {
	if need := n * len(v.active); cap(v.pieces) < need {
		v.pieces = make([]solver.Piece, need)
	}
	if need := n * len(v.active) * len(v.action.basis); cap(v.coeffs) < need {
		v.coeffs = make([][4]float64, need)
	}
	pieces := v.pieces[:cap(v.pieces)]
	for k, c := range v.active {
		v.lines[c].Pieces = pieces[k*n : k*n : (k+1)*n]
	}
	v.free = v.coeffs[:cap(v.coeffs)]
}

// addPiece adds the length from..to of a stretch that starts at begin. With own
// given the load stands on the section's member, before the section.
func (v *section) addPiece(l *startLines, stretch int, begin, from, to float64, own *ownStretch) {
	nd := len(v.action.basis)
	var starts [3][][4]float64
	for d := range nd {
		starts[d] = l.of(stretch, d)
	}
	for _, c := range v.active {
		coeffs := v.free[:nd:nd]
		v.free = v.free[nd:]
		for d := range nd {
			sum := v.carriage.cubic(c, starts[d])
			if own != nil {
				v.probe.passCubic(&sum, c, v.action.basis[d], own, v.station)
			}
			coeffs[d] = shiftCubic(sum, from-begin)
		}
		v.lines[c].Pieces = append(v.lines[c].Pieces, solver.Piece{Stretch: stretch, From: from, To: to, Coeffs: coeffs})
	}
	v.sizes = append(v.sizes, v.action.sizeAt(from))
}

func (l *startLines) ownOf(stretch int) *ownStretch { return ownOf(l.own, stretch) }

func ownOf(own []ownStretch, stretch int) *ownStretch {
	for i := range own {
		if own[i].stretch == stretch {
			return &own[i]
		}
	}
	return nil
}

// carriage tells how the components at a station of a member follow from those that an action moves at
// its start.
type carriage struct {
	parts [nState][nStart]carried
	count [nState]int // of parts
}

// carried is the part of a start component in a component of the state.
type carried struct {
	start  int // by its place among those that are active
	factor float64
}

// set sets how the first so many components follow from the active ones of the start.
func (g *carriage) set(p *Probe, active []int, s float64, components int) {
	g.count = [nState]int{}
	for i, c := range active {
		var unit start
		unit[c] = 1
		all := p.carry(&unit, s)
		for k, f := range all[:components] {
			if f != 0 {
				g.parts[k][g.count[k]] = carried{i, f}
				g.count[k]++
			}
		}
	}
}

// cubic returns a component from the active ones of the start, each a cubic.
func (g *carriage) cubic(component int, starts [][4]float64) (sum [4]float64) {
	for _, part := range g.parts[component][:g.count[component]] {
		f, q := part.factor, &starts[part.start]
		sum[0] += f * q[0]
		sum[1] += f * q[1]
		sum[2] += f * q[2]
		sum[3] += f * q[3]
	}
	return sum
}

// span returns a component from the active ones of the start, each a span.
func (g *carriage) span(component int, starts []span) (sum span) {
	for _, part := range g.parts[component][:g.count[component]] {
		t := starts[part.start].times(part.factor)
		sum.add(t.low, t.high)
	}
	return sum
}

// passCubic adds what a unit load at distance t into the member's own stretch,
// before the section, does to one component at the section: pass as a cubic in t. The load
// points along f, in the axes of the stretch.
func (p *Probe) passCubic(sum *[4]float64, c int, f solver.Vec, own *ownStretch, s float64) {
	b, share := s-own.at, own.share
	linear := func(k float64) { sum[0] += k * b; sum[1] -= k }
	third := func(k float64) {
		sum[0] += k * b * b * b
		sum[1] -= 3 * k * b * b
		sum[2] += 3 * k * b
		sum[3] -= k
	}
	f = own.into(f)
	switch c {
	case cN:
		sum[0] -= share * f[0]
	case cVy:
		sum[0] -= share * f[1]
	case cVz:
		sum[0] -= share * f[2]
	case cMy:
		linear(-share * f[2])
	case cMz:
		linear(share * f[1])
	case cSpan:
		third(share * f[1] / (6 * p.ei))
	case cAlong, cAcross, cVertical:
		row := &p.told[c-cAlong]
		if row[0] != 0 {
			linear(-share * row[0] * f[0] / p.ea)
		}
		if bent := row[1]*f[1] + row[2]*f[2]; bent != 0 {
			third(share * bent / (6 * p.ei))
		}
	}
}

func shiftCubic(c [4]float64, at float64) [4]float64 {
	if at == 0 {
		return c
	}
	return [4]float64{c[0] + at*(c[1]+at*(c[2]+at*c[3])), c[1] + at*(2*c[2]+3*at*c[3]), c[2] + 3*at*c[3], c[3]}
}

// at returns the components under a load on piece i at x, times factor, added to
// those given.
func (v *section) at(i int, x, factor float64, n *[3]float64, added *components) State {
	c := *added
	factor *= v.sizes[i]
	for _, k := range v.active {
		piece := &v.lines[k].Pieces[i]
		for d := range piece.Coeffs {
			if n[d] != 0 {
				c[k] += factor * n[d] * piece.At(d, x)
			}
		}
	}
	return c.state()
}

// samples returns the places on piece i at which a load is tried first: its ends, the stationary
// points of every component and three points between, in order; and what a unit load at each does
// to each active component along each direction.
func (v *section) samples(i int) (xs, felt []float64) {
	if len(v.sampled) == 0 {
		for range v.sizes {
			v.sampled = append(v.sampled, [2]int{})
		}
	}
	at := &v.sampled[i]
	per := len(v.active) * len(v.action.basis)
	if at[1] == 0 {
		at[0] = len(v.xs)
		v.xs = v.appendSamples(v.xs, i)
		at[1] = len(v.xs)
		for _, x := range v.xs[at[0]:] {
			for _, k := range v.active {
				p := &v.lines[k].Pieces[i]
				for d := range p.Coeffs {
					v.felt = append(v.felt, p.At(d, x))
				}
			}
		}
	}
	return v.xs[at[0]:at[1]], v.felt[at[0]*per : at[1]*per]
}

// appendSamples appends the places of the samples of piece i.
func (v *section) appendSamples(dst []float64, i int) []float64 {
	from, to := v.span(i)
	first := len(dst)
	dst = append(dst, from, to, from+0.25*(to-from), from+0.5*(to-from), from+0.75*(to-from))
	var room [2]float64
	for _, k := range v.active {
		p := &v.lines[k].Pieces[i]
		for d := range p.Coeffs {
			for _, t := range p.Stationary(room[:0], d) {
				dst = append(dst, from+t)
			}
		}
	}
	all := dst[first:]
	slices.Sort(all)
	// Of points that differ by rounding one is kept: two would close in on each
	// other's peak.
	const apart = 1e-7
	kept := all[:1]
	for _, x := range all[1:] {
		if x-kept[len(kept)-1] > apart {
			kept = append(kept, x)
		}
	}
	kept[len(kept)-1] = max(kept[len(kept)-1], to)
	return dst[:first+len(kept)]
}

// underSample returns the components under a load at a sample, given what a unit load there does,
// times factor, added to those given.
func (v *section) underSample(i int, felt []float64, factor float64, n *[3]float64, added *components) components {
	c := *added
	factor *= v.sizes[i]
	nd := len(v.action.basis)
	for j, k := range v.active {
		for d := range nd {
			if n[d] != 0 {
				c[k] += factor * n[d] * felt[j*nd+d]
			}
		}
	}
	return c
}

// pattern is a line load of the action's size over some lengths, and what it does
// at the section.
type pattern struct {
	lengths []solver.Length
	whole   bool
	unit    components
}

// pattern returns the components under the action over lengths, pointing along n.
func (v *section) pattern(lengths []solver.Length, whole bool, n *[3]float64) pattern {
	p := pattern{lengths: lengths, whole: whole}
	nd := len(v.action.basis)
	sums := v.integrals(lengths)
	for j, k := range v.active {
		for d := range nd {
			if n[d] != 0 {
				p.unit[k] += v.action.Value * n[d] * sums[j*nd+d]
			}
		}
	}
	return p
}

// integrals returns the integrals over lengths of each active component and direction, good until
// the next call.
func (v *section) integrals(over []solver.Length) []float64 {
	nd := len(v.action.basis)
	per := nd * len(v.active)
	v.sums = sized(v.sums, per)
	clear(v.sums)
	if per == 0 {
		return v.sums
	}
	wholes, at := v.wholesOf(), v.lines[v.active[0]].Pieces
	i := 0
	for _, part := range over {
		for i > 0 && at[i-1].To > part.From {
			i--
		}
		for ; i < len(at) && at[i].From < part.To; i++ {
			from, to := at[i].From, at[i].To
			switch a, b := max(part.From, from), min(part.To, to); {
			case a == from && b == to:
				for j, w := range wholes[i*per : (i+1)*per] {
					v.sums[j] += w
				}
			case b > a:
				for j, k := range v.active {
					for d := range nd {
						v.sums[j*nd+d] += area(&v.lines[k].Pieces[i].Coeffs[d], a-from, b-from)
					}
				}
			}
		}
	}
	return v.sums
}

// wholesOf returns the integrals over each piece of each active component and direction.
func (v *section) wholesOf() []float64 {
	if len(v.wholes) == 0 {
		for i := range v.sizes {
			for _, k := range v.active {
				p := &v.lines[k].Pieces[i]
				for d := range p.Coeffs {
					v.wholes = append(v.wholes, area(&p.Coeffs[d], 0, p.To-p.From))
				}
			}
		}
	}
	return v.wholes
}

// patternsAlong returns the whole run and the lengths adverse to each component
// either way, for a load along n, with the sign to take their effects by: those
// of a load with one direction are worked out once.
func (v *section) patternsAlong(n *[3]float64) (patterns []pattern, sign float64) {
	if len(v.action.basis) > 1 {
		return v.adversePatterns(nil, n), 1
	}
	if len(v.patterns) == 0 {
		v.patterns = v.adversePatterns(v.patterns, &[3]float64{1})
	}
	return v.patterns, n[0]
}

// reachOfAll returns the size of what the action does to each component: the
// largest over the patterns of each direction.
func (v *section) reachOfAll() components {
	if v.largest == nil {
		var c components
		for d := range v.action.basis {
			var n [3]float64
			n[d] = 1
			patterns, _ := v.patternsAlong(&n)
			for _, p := range patterns {
				for k := range c {
					c[k] = max(c[k], math.Abs(p.unit[k]))
				}
			}
		}
		v.largest = &c
	}
	return *v.largest
}

// adversePatterns returns the patterns of patternsAlong, in the room of those of a section before.
func (v *section) adversePatterns(room []pattern, n *[3]float64) []pattern {
	v.runs[0] = v.whole
	room = sized(room, 1+2*len(v.active))
	room[0] = v.pattern(v.runs[:], true, n)
	for j, k := range v.active {
		up, down := &room[1+2*j], &room[2+2*j]
		line := v.contracted(k, n)
		above, below := line.SignsIn(up.lengths, down.lengths, 0)
		*up, *down = v.pattern(above, false, n), v.pattern(below, false, n)
	}
	return room
}

// adverseTo returns the lengths over which a load along n gains for a slope, components apart.
func (v *section) adverseTo(slope *components, n *[3]float64) pattern {
	var lines [nState]solver.Line
	var weights [nState]float64
	count := 0
	for _, k := range v.active {
		if slope[k] == 0 {
			continue
		}
		if len(v.action.basis) == 1 && math.Abs(n[0]) == 1 {
			lines[count], weights[count] = v.lines[k], slope[k]*n[0]
		} else {
			lines[count], weights[count] = v.contracted(k, n), slope[k]
		}
		count++
	}
	if count == 0 {
		return v.pattern(nil, false, n)
	}
	return v.pattern(solver.Adverse(lines[:count], weights[:count], 0), false, n)
}

// contracted returns the line of a component for a load along n.
func (v *section) contracted(k int, n *[3]float64) solver.Line {
	line := &v.lines[k]
	if len(v.action.basis) == 1 && n[0] == 1 {
		return *line
	}
	out := solver.Line{Pieces: make([]solver.Piece, len(line.Pieces))}
	store := make([][4]float64, len(line.Pieces))
	for i := range line.Pieces {
		p := line.Pieces[i]
		for d := range p.Coeffs {
			for j := range 4 {
				store[i][j] += n[d] * p.Coeffs[d][j]
			}
		}
		p.Coeffs = store[i : i+1]
		out.Pieces[i] = p
	}
	return out
}

// reach returns the largest magnitude of every component on piece i, over the
// piece and over the ways the load may point, or for n alone when it is given.
func (v *section) reach(i int, factor float64, n *[3]float64, added *components) State {
	return v.magnitudes(v.rangesOf(i), factor*v.sizes[i], n, added)
}

// reachAnywhere returns the same over all pieces.
func (v *section) reachAnywhere(factor float64, n *[3]float64, added *components) State {
	if len(v.anywhere) == 0 {
		for range len(v.action.basis) * len(v.active) {
			v.anywhere = append(v.anywhere, [2]float64{})
		}
		for i, size := range v.sizes {
			for j, r := range v.rangesOf(i) {
				v.anywhere[j][0] = min(v.anywhere[j][0], size*r[0])
				v.anywhere[j][1] = max(v.anywhere[j][1], size*r[1])
			}
		}
	}
	return v.magnitudes(v.anywhere, factor, n, added)
}

// reachOver returns a bound of the magnitude of every component under a line load over any
// lengths, over the ways the load may point, or for n alone when it is given.
func (v *section) reachOver(factor float64, n *[3]float64, added *components) State {
	return v.magnitudes(v.rangesOver(), factor, n, added)
}

// rangesOver bounds from below and above what a line load over any lengths does, for each
// active component each direction.
func (v *section) rangesOver() [][2]float64 {
	if len(v.over) > 0 {
		return v.over
	}
	for _, k := range v.active {
		for d := range v.action.basis {
			low, high := v.lines[k].Reach(d)
			v.over = append(v.over, [2]float64{v.action.Value * low, v.action.Value * high})
		}
	}
	return v.over
}

// magnitudes returns the largest magnitude of every component, given for each
// active component and direction its least and largest value.
func (v *section) magnitudes(ranges [][2]float64, factor float64, n *[3]float64, added *components) State {
	c := *added
	for k := range c {
		c[k] = math.Abs(c[k])
	}
	nd := len(v.action.basis)
	for j, k := range v.active {
		if n != nil && nd > 1 {
			for d := range nd {
				r := ranges[j*nd+d]
				c[k] += factor * math.Abs(n[d]) * max(math.Abs(r[0]), math.Abs(r[1]))
			}
			continue
		}
		if n != nil {
			lo, hi := factor*ranges[j][0], factor*ranges[j][1]
			if n[0] < 0 {
				lo, hi = -hi, -lo
			}
			c[k] = max(math.Abs(added[k]+lo), math.Abs(added[k]+hi))
			continue
		}
		sum := 0.0
		for d := range nd {
			r := ranges[j*nd+d]
			m := max(math.Abs(r[0]), math.Abs(r[1]))
			sum += m * m
		}
		c[k] += factor * math.Sqrt(sum)
	}
	return c.state()
}

// rangesOf returns the least and largest values on piece i, for each active
// component each direction.
func (v *section) rangesOf(i int) [][2]float64 {
	nd := len(v.action.basis)
	per := nd * len(v.active)
	if len(v.ranges) == 0 {
		for j := range v.sizes {
			for _, k := range v.active {
				piece := &v.lines[k].Pieces[j]
				for d := range nd {
					lo, hi := extremes(piece, d)
					v.ranges = append(v.ranges, [2]float64{lo, hi})
				}
			}
		}
	}
	return v.ranges[i*per : (i+1)*per]
}

func extremes(p *solver.Piece, d int) (lo, hi float64) {
	a, b := p.At(d, p.From), p.At(d, p.To)
	lo, hi = min(a, b), max(a, b)
	if isMonotone(&p.Coeffs[d], p.To-p.From) {
		return lo, hi
	}
	var room [2]float64
	for _, t := range p.Stationary(room[:0], d) {
		x := p.At(d, p.From+t)
		lo, hi = min(lo, x), max(hi, x)
	}
	return lo, hi
}

// isMonotone reports whether a cubic is known to rise, or to fall, all over a length: the
// Bernstein coefficients of its slope have one sign.
func isMonotone(c *[4]float64, length float64) bool {
	s0, s1, s2 := c[1], c[1]+c[2]*length, c[1]+length*(2*c[2]+3*c[3]*length)
	return s0 > 0 && s1 > 0 && s2 > 0 || s0 < 0 && s1 < 0 && s2 < 0
}
