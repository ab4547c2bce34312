package solver

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

type (
	vec12 [12]float64
	mat12 [12][12]float64
)

// element is a member ready for assembly: its length and what it shares with others; with end
// ties the stiffness with those condensed out, and what is needed to find the member's own end
// displacements again.
type element struct {
	length float64
	*prism
	*condensed
}

// prism is the local axes of a member and what its stiffness is made of: members that follow each
// other and are alike but for their length share one.
type prism struct {
	axes   Axes
	ea     float64
	eiy    float64
	eiz    float64
	gj     float64
	shear  [2]float64 // shear flexibility 1/(G·As) along y and z, 1/N
	warm   float64    // expansion, 1/K
	mass   float64
	noSpin bool
}

// prisms hands out one prism for all of several that are the same; it remembers the last few.
type prisms struct {
	last [8]*prism
	next int
}

func (r *prisms) shared(p prism) *prism {
	for _, known := range r.last {
		if known != nil && *known == p {
			return known
		}
	}
	kept := p
	r.last[r.next] = &kept
	r.next = (r.next + 1) % len(r.last)
	return &kept
}

// condensed is what a member with end ties keeps of itself; others have none.
type condensed struct {
	k      mat12 // stiffness between its nodes
	full   mat12 // stiffness of the member itself
	follow mat12 // v = follow·u - give·F: member end displacements
	give   mat12
}

// bending returns the bending stiffness, N·m², and the shear flexibility, 1/N, of the
// member under loads along local y (1) or z (2).
func (e *element) bending(direction int) (ei, flexibility float64) {
	if direction == 1 {
		return e.eiz, e.shear[0]
	}
	return e.eiy, e.shear[1]
}

// shearRatio returns 12 EI/(G·As·L²): how much a bay sways by shear strain for what it
// sways by bending with both ends held from turning.
func (e *element) shearRatio(direction int) float64 {
	ei, flexibility := e.bending(direction)
	return 12 * ei * flexibility / (e.length * e.length)
}

// stiffness returns the stiffness between the member's nodes. It is made anew each time but
// for a member with end ties: a long frame has no room for one of each member.
func (e *element) stiffness() mat12 {
	if e.condensed != nil {
		return e.k
	}
	return e.ownStiffness()
}

// ownStiffness returns the stiffness of the member without end ties. Order: ux uy uz rx
// ry rz at the start, then at the end, local axes. Source of the shear strain's part:
// Przemieniecki, Theory of Matrix Structural Analysis, section 5.6.
func (e *element) ownStiffness() mat12 {
	var k mat12
	l, l2, l3 := e.length, e.length*e.length, e.length*e.length*e.length
	bar := func(i, j int, s float64) {
		k[i][i] += s
		k[j][j] += s
		k[i][j] -= s
		k[j][i] -= s
	}
	bar(0, 6, e.ea/l)
	bar(3, 9, e.gj/l)
	bend := func(v1, r1, v2, r2 int, ei, ratio, sign float64) {
		set := func(i, j int, s float64) {
			k[i][j] = s
			k[j][i] = s
		}
		set(v1, v1, 12*ei/l3)
		set(v2, v2, 12*ei/l3)
		set(v1, v2, -12*ei/l3)
		set(r1, r1, (4+ratio)*ei/l)
		set(r2, r2, (4+ratio)*ei/l)
		set(r1, r2, (2-ratio)*ei/l)
		set(v1, r1, sign*6*ei/l2)
		set(v1, r2, sign*6*ei/l2)
		set(v2, r1, -sign*6*ei/l2)
		set(v2, r2, -sign*6*ei/l2)
	}
	y, z := e.shearRatio(1), e.shearRatio(2)
	bend(1, 5, 7, 11, e.eiz/(1+y), y, 1)
	bend(2, 4, 8, 10, e.eiy/(1+z), z, -1)
	return k
}

// resist adds to end forces those that end displacements bring out, local axes.
func (e *element) resist(forces, u *vec12) {
	if e.condensed != nil {
		for i := range forces {
			for j, v := range u {
				forces[i] += e.k[i][j] * v
			}
		}
		return
	}
	l, l2, l3 := e.length, e.length*e.length, e.length*e.length*e.length
	for at, k := range [4]float64{0: e.ea / l, 3: e.gj / l} {
		if k != 0 {
			forces[at] = forces[at] + k*u[at] - k*u[6+at]
			forces[6+at] = forces[6+at] - k*u[at] + k*u[6+at]
		}
	}
	for k, sign := range [2]float64{1, -1} {
		ei, _ := e.bending(1 + k)
		ratio := e.shearRatio(1 + k)
		ei /= 1 + ratio
		sway, turn, near, far := 12*ei/l3, sign*6*ei/l2, (4+ratio)*ei/l, (2-ratio)*ei/l
		v1, r1, v2, r2 := acrossEnds[k][0], acrossEnds[k][1], acrossEnds[k][2], acrossEnds[k][3]
		forces[v1] = forces[v1] + sway*u[v1] + turn*u[r1] - sway*u[v2] + turn*u[r2]
		forces[r1] = forces[r1] + turn*u[v1] + near*u[r1] - turn*u[v2] + far*u[r2]
		forces[v2] = forces[v2] - sway*u[v1] - turn*u[r1] + sway*u[v2] - turn*u[r2]
		forces[r2] = forces[r2] + turn*u[v1] + far*u[r1] - turn*u[v2] + near*u[r2]
	}
}

// leastLength is the part of its distance from the origin that a member is long at least. Of
// less, rounding of the positions leaves no more than nine digits, and it is 1e21 times as
// stiff across its axis as a member that is as long as the distance.
const leastLength = 1e-7

func (f *Frame) element(id MemberID, known *prisms) (element, error) {
	m := &f.members[id]
	if !f.has(m.Start) || !f.has(m.End) {
		return element{}, &InputError{fmt.Sprintf("member %d ends at a node that is not there", id)}
	}
	a, b := &f.nodes[m.Start], &f.nodes[m.End]
	start, end := f.Ends(id)
	d := end.sub(start)
	length := d.norm()
	fault := func(what string) (element, error) {
		return element{}, &InputError{memberName(a, b) + " has " + what}
	}
	if !(length > leastLength*math.Max(start.norm(), end.norm())) || math.IsInf(length, 1) {
		return fault("no length")
	}
	for _, s := range [...]float64{m.EA, m.EIy, m.EIz, m.GJ} {
		if !(s > 0) || math.IsInf(s, 1) {
			return fault("a stiffness that is not positive and finite")
		}
	}
	for _, s := range [...]float64{m.ShearY, m.ShearZ} {
		if !(s >= 0) || math.IsInf(s, 1) {
			return fault("a shear stiffness that is negative or not finite")
		}
	}
	if math.IsNaN(m.Expansion) || math.IsInf(m.Expansion, 0) {
		return fault("an expansion that is not finite")
	}
	if !(m.Mass >= 0) || math.IsInf(m.Mass, 1) {
		return fault("a mass that is negative or not finite")
	}
	for _, t := range m.Ends {
		if !(t.Tie >= 0) {
			return fault("an end tie that is negative or not a number")
		}
		if t.End < 0 || t.End > 1 || t.Freedom < UX || t.Freedom > RZ {
			return fault("an end tie at no end or of no freedom")
		}
	}
	x := d.scale(1 / length)
	z := x.cross(m.Reference)
	if !(z.norm() > 1e-9*m.Reference.norm()) {
		return fault("a reference vector along the member")
	}
	z = z.scale(1 / z.norm())
	z = z.sub(x.scale(x.dot(z))) // of a reference near the axis rounding leaves a part along it
	z = z.scale(1 / z.norm())
	own := prism{axes: Axes{x, z.cross(x), z}, ea: m.EA, eiy: m.EIy, eiz: m.EIz, gj: m.GJ, warm: m.Expansion, mass: m.Mass, noSpin: m.NoSpin}
	for k, s := range [...]float64{m.ShearY, m.ShearZ} {
		if s > 0 {
			own.shear[k] = 1 / s
		}
	}
	e := element{length: length, prism: known.shared(own)}
	if r := e.shearRatio(1) + e.shearRatio(2); math.IsInf(r, 0) || math.IsNaN(r) {
		return fault("a shear stiffness out of all proportion to its bending stiffness")
	}
	if len(m.Ends) > 0 {
		if !e.condense(m.Ends) {
			return element{}, &MechanismError{Node: memberName(a, b), Direction: "its own released ends"}
		}
	}
	return e, nil
}

func memberName(a, b *node) string { return fmt.Sprintf("member from %s to %s", a.label, b.label) }

// condense takes the tied end freedoms c out of the member. With the member's
// own end displacements v and its nodes' displacements u, a tie of stiffness s
// passes s(u - v), so (Kcc + S) vc = S uc - Kcr ur - Fc, and vr = ur. It reports
// whether the member is held by its ties.
func (e *element) condense(ends []EndTie) bool {
	own := e.ownStiffness()
	e.condensed = &condensed{k: own, full: own}
	for i := range e.follow {
		e.follow[i][i] = 1
	}
	t := tiesOf(ends)
	if len(t.freedoms) == 0 {
		return true
	}
	inverse, ok := inverseOf(&e.full, &t.stiffness, t.freedoms)
	if !ok {
		return false
	}
	e.followTies(&t, inverse)
	e.k = e.full.times(&e.follow)
	e.passTies(&t)
	return true
}

// ties are the end freedoms that a member does not share with its nodes, ascending, and
// the stiffness of the tie of each.
type ties struct {
	freedoms  []int
	tied      [12]bool
	stiffness [12]float64 // N/m or N·m/rad
}

func tiesOf(ends []EndTie) ties {
	var t ties
	for _, end := range ends {
		if !end.Tie.shared() {
			i := 6*end.End + int(end.Freedom)
			t.tied[i], t.stiffness[i] = true, float64(end.Tie)
		}
	}
	for i, is := range t.tied {
		if is {
			t.freedoms = append(t.freedoms, i)
		}
	}
	return t
}

// followTies works out how the tied ends follow the nodes and give to the loads.
func (e *element) followTies(t *ties, inverse *mat.SymDense) {
	for p, i := range t.freedoms {
		for j := range 12 {
			e.follow[i][j] = e.followed(t, inverse, p, j)
		}
		for q, o := range t.freedoms {
			e.give[i][o] = inverse.At(p, q)
		}
	}
}

// followed returns the movement of the tied freedom number p for a unit movement of the
// nodes' freedom j.
func (e *element) followed(t *ties, inverse *mat.SymDense, p, j int) float64 {
	sum := 0.0
	for q, o := range t.freedoms {
		switch {
		case !t.tied[j]:
			sum -= inverse.At(p, q) * e.full[o][j]
		case o == j:
			sum += inverse.At(p, q) * t.stiffness[j]
		}
	}
	return sum
}

// passTies sets the rows of soft ties by what the tie passes, which is exact where it
// passes nothing.
func (e *element) passTies(t *ties) {
	for _, i := range t.freedoms {
		if t.stiffness[i] >= e.full[i][i] {
			continue
		}
		for j := range 12 {
			e.k[i][j] = -t.stiffness[i] * e.follow[i][j]
		}
		e.k[i][i] += t.stiffness[i]
	}
}

// inverseOf returns the inverse of Kcc + S, or false where it has none. The
// matrix is scaled to a unit diagonal first, so that N/m and N·m/rad, or a soft
// and a stiff tie, may stand side by side.
func inverseOf(full *mat12, stiffness *[12]float64, c []int) (*mat.SymDense, bool) {
	scale := make([]float64, len(c))
	for p, i := range c {
		scale[p] = 1 / math.Sqrt(full[i][i]+stiffness[i])
	}
	a := mat.NewSymDense(len(c), nil)
	for p, i := range c {
		for q := p + 1; q < len(c); q++ {
			a.SetSym(p, q, full[i][c[q]]*scale[p]*scale[q])
		}
		a.SetSym(p, p, 1)
	}
	var chol mat.Cholesky
	if !chol.Factorize(a) || chol.Cond() > 1e12 {
		return nil, false
	}
	var inverse mat.SymDense
	if chol.InverseTo(&inverse) != nil {
		return nil, false
	}
	for p := range c {
		for q := p; q < len(c); q++ {
			inverse.SetSym(p, q, inverse.At(p, q)*scale[p]*scale[q])
		}
	}
	return &inverse, true
}

// times returns a·b. A sum that is only the rounding of its terms is zero: what
// is left of a stiffness that an end tie takes away must not hold a freedom.
func (a *mat12) times(b *mat12) mat12 {
	var out mat12
	for i := range 12 {
		for j := range 12 {
			sum, size := 0.0, 0.0
			for k := range 12 {
				v := a[i][k] * b[k][j]
				sum += v
				size += math.Abs(v)
			}
			if math.Abs(sum) > 1e-13*size {
				out[i][j] = sum
			}
		}
	}
	return out
}

// globalStiffness returns the stiffness between the member's nodes in global axes.
func (e *element) globalStiffness() mat12 {
	k := e.stiffness()
	return k.inGlobal(&e.axes)
}

// inGlobal turns a matrix in local axes into global ones, block by block.
func (a *mat12) inGlobal(axes *Axes) mat12 {
	var out mat12
	for bi := 0; bi < 12; bi += 3 {
		for bj := 0; bj < 12; bj += 3 {
			var half [3][3]float64 // a R
			for i := range 3 {
				for j := range 3 {
					half[i][j] = a[bi+i][bj]*axes[0][j] + a[bi+i][bj+1]*axes[1][j] + a[bi+i][bj+2]*axes[2][j]
				}
			}
			for i := range 3 {
				for j := range 3 {
					out[bi+i][bj+j] = axes[0][i]*half[0][j] + axes[1][i]*half[1][j] + axes[2][i]*half[2][j]
				}
			}
		}
	}
	return out
}

// toLocal turns a vector of end displacements or forces into local axes.
func (e *element) toLocal(g vec12) (out vec12) {
	a := &e.axes
	for b := 0; b < 12; b += 3 {
		x, y, z := g[b], g[b+1], g[b+2]
		for k := range 3 {
			out[b+k] = a[k][0]*x + a[k][1]*y + a[k][2]*z
		}
	}
	return out
}

// toGlobal turns a vector of end displacements or forces into global axes.
func (e *element) toGlobal(l vec12) (out vec12) {
	a := &e.axes
	for b := 0; b < 12; b += 3 {
		x, y, z := l[b], l[b+1], l[b+2]
		for k := range 3 {
			out[b+k] = a[0][k]*x + a[1][k]*y + a[2][k]*z
		}
	}
	return out
}

// about is the direction of a couple about local x, beside the three of a force.
const about = 3

// shapes returns the end forces that are equivalent to a unit force in each
// local direction at station x, and to a unit couple about local x, as cubics in x: the
// shape functions of the member. With shear strain they stay cubics. Source:
// Przemieniecki, Theory of Matrix Structural Analysis, sections 5.6 and 11.3.
func (e *element) shapes() [12][4]cubic {
	l := e.length
	near, far := cubic{1, -1 / l}, cubic{0, 1 / l}
	var out [12][4]cubic
	out[0][0], out[6][0] = near, far
	out[3][about], out[9][about] = near, far
	for d := 1; d < 3; d++ {
		shape := bentShapes(l, e.shearRatio(d))
		for k, at := range bentEnds[d] {
			out[at.end][d] = shape[k].scale(at.sign)
		}
	}
	return out
}

// forceShapes are the shape functions of a member that a force works on: along it, of a movement
// of either end; across it, of a movement and a turn of the start, then of the end.
type forceShapes struct {
	along  [2]cubic
	across [2]bent // towards local y, towards local z
}

// acrossEnds are the end freedoms of the shapes across: towards local y, towards local z.
var acrossEnds = [2][4]int{{1, 5, 7, 11}, {2, 4, 8, 10}}

// forceShapes returns those of shapes that no couple works on.
func (e *element) forceShapes() forceShapes {
	l := e.length
	out := forceShapes{along: [2]cubic{{1, -1 / l}, {0, 1 / l}}}
	for k := range out.across {
		out.across[k] = bentShapes(l, e.shearRatio(1+k))
	}
	z := &out.across[1]
	z[1], z[3] = z[1].scale(-1), z[3].scale(-1)
	return out
}

// add adds the end forces of a force at a station.
func (s *forceShapes) add(out *vec12, x float64, force *Vec) {
	if n := force[0]; n != 0 {
		out[0] += n * s.along[0].at(x)
		out[6] += n * s.along[1].at(x)
	}
	for k := range s.across {
		if v := force[1+k]; v != 0 {
			for i, end := range acrossEnds[k] {
				out[end] += v * s.across[k][i].at(x)
			}
		}
	}
}

// slopes returns the slopes of the shapes across.
func (s *forceShapes) slopes(x float64) (out [2][4]float64) {
	for k := range s.across {
		for i := range s.across[k] {
			c := &s.across[k][i]
			out[k][i] = c[1] + x*(2*c[2]+3*x*c[3])
		}
	}
	return out
}

// bent is the deflection of a member in bending for a unit movement and a unit turn of its
// start, and of its end.
type bent [4]cubic

// bentEnds are the end freedoms that these four are of, and the sign with which the member
// moves along local y (1) and z (2).
var bentEnds = [3][4]struct {
	end  int
	sign float64
}{1: {{1, 1}, {5, 1}, {7, 1}, {11, 1}}, 2: {{2, 1}, {4, -1}, {8, 1}, {10, -1}}}

func bentShapes(l, ratio float64) bent {
	l2, l3 := l*l, l*l*l
	v1, v2 := cubic{1, 0, -3 / l2, 2 / l3}, cubic{0, 0, 3 / l2, -2 / l3}
	r1, r2 := cubic{0, 1, -2 / l, 1 / l2}, cubic{0, 0, -1 / l, 1 / l2}
	if ratio == 0 {
		return bent{v1, r1, v2, r2}
	}
	part := 1 / (1 + ratio)
	v1 = v1.plus(cubic{1, -1 / l}, ratio).scale(part)
	v2 = v2.plus(cubic{0, 1 / l}, ratio).scale(part)
	r1 = r1.plus(cubic{0, 0.5, -0.5 / l}, ratio).scale(part)
	r2 = r2.plus(cubic{0, -0.5, 0.5 / l}, ratio).scale(part)
	return bent{v1, r1, v2, r2}
}

// turning returns how a section turns, towards the direction (1 or 2) that the member
// moves in, where no load stands: the slope less the shear strain, and the shear force is
// -EI times the third derivative.
func (e *element) turning(direction int, moved *cubic) cubic {
	ei, flexibility := e.bending(direction)
	return cubic{moved[1] + 6*moved[3]*ei*flexibility, 2 * moved[2], 3 * moved[3]}
}

// couple returns what a couple at station x does, local axes, where a force there in a
// direction, or a couple about x, does what the cubic tells: about y and z the couple works on
// the turning of a section.
func (e *element) couple(direction int, side *cubic, x float64, m Vec) float64 {
	switch direction {
	case 1:
		return m[2] * e.turning(1, side).at(x)
	case 2:
		return -m[1] * e.turning(2, side).at(x)
	case about:
		return m[0] * side.at(x)
	}
	return 0
}

// throughTies returns the end forces on the nodes' side of the end ties, given
// the end forces that hold the member itself with both ends fixed.
func (e *element) throughTies(fixed vec12) vec12 {
	if e.condensed == nil {
		return fixed
	}
	out := fixed
	for i := range 12 {
		for j := range 12 {
			moved := 0.0
			for k := range 12 {
				moved += e.give[j][k] * fixed[k]
			}
			out[i] -= e.full[i][j] * moved
		}
	}
	return out
}

// ownEnds returns the member's own end displacements from its nodes'.
func (e *element) ownEnds(u, fixed vec12) vec12 {
	if e.condensed == nil {
		return u
	}
	var v vec12
	for i := range 12 {
		for j := range 12 {
			v[i] += e.follow[i][j]*u[j] - e.give[i][j]*fixed[j]
		}
	}
	return v
}
