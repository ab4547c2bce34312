package check

import (
	"fmt"
	"math"
	"strings"

	"example.com/stanchion/barrier"
)

// bracketFootings are the checks of a bracket on a face.
func (c *run) bracketFootings() []footing {
	b := c.d.Post.Base.Bracket
	if b == nil {
		return nil
	}
	return (&anchoring{kind: "side", anchors: &b.Anchors, bolts: newBracketBolts(b, c.d.Run.Hazard.Outward()), basis: c.d.Basis}).footings()
}

// bracketBolts are the bolts of a bracket on a face: two rows, one above the other.
type bracketBolts struct {
	*barrier.Bracket
	away  float64 // sign along y of the way from the face to the post
	polar float64 // Σr² of all bolts from their middle, m²
	apart float64 // Σx² of all bolts, m²
}

// newBracketBolts returns them. Outward is the sign of the outward side along y.
func newBracketBolts(b *barrier.Bracket, outward float64) *bracketBolts {
	out := &bracketBolts{Bracket: b, away: outward}
	if b.Outward {
		out.away = -outward
	}
	for i := range b.Columns {
		x := b.Column(i)
		out.apart += 2 * x * x
		out.polar += 2*x*x + b.Spacing*b.Spacing/2
	}
	return out
}

// bracketBurden is what a foot does to the bolts of a bracket, seen from the face.
type bracketBurden struct {
	moment, push   float64 // away from the face, about the axis along the run where the post is held, N·m, and N
	down           float64 // N
	upper, lower   float64 // tension in the whole row, N
	twist, inPlane float64 // about the post, and in the plane of the face about the middle of the bolts, N·m
}

func (b *bracketBolts) count() int { return 2 * b.Columns }

// under returns it. Both rows by the balance of moments about the other: where one is pulled and
// the plate bears at its edge by request, about that edge. Weight counts only where it pulls,
// unless it is counted throughout.
func (b *bracketBolts) under(a FootActions) burden {
	u := burden{FootActions: a}
	u.moment, u.push, u.down = -b.away*a.Mx, b.away*a.Fy, -a.Fz
	u.twist = a.Mz - b.away*b.Eccentricity*a.Fx
	u.inPlane = a.My + (b.Below+b.Spacing/2)*a.Fx
	down, up := b.downs(&u)
	u.upper = b.upperBy(&u, down, 0)
	u.lower = b.lowerBy(&u, up, 0)
	if b.EdgeBearing {
		switch {
		case u.upper > 0 && u.lower <= 0:
			u.upper = b.upperBy(&u, down, b.Bottom)
		case u.lower > 0 && u.upper <= 0:
			u.lower = b.lowerBy(&u, up, b.Top)
		}
	}
	return u
}

// downs returns the downward force that pulls the upper row and that which the lower row is
// judged by, N.
func (b *bracketBolts) downs(u *burden) (down, up float64) {
	if b.Weight {
		return u.down, u.down
	}
	return math.Max(0, u.down), math.Min(0, u.down)
}

// upperBy returns the tension of the upper row about a line at an edge below the lower one.
func (b *bracketBolts) upperBy(u *burden, down, edge float64) float64 {
	lever := b.Spacing + edge
	return (u.moment + u.push*(b.Below+lever) + down*b.Eccentricity) / lever
}

// lowerBy returns the tension of the lower row about a line at an edge above the upper one.
func (b *bracketBolts) lowerBy(u *burden, down, edge float64) float64 {
	return -(u.moment + u.push*(b.Below-edge) + down*b.Eccentricity) / (b.Spacing + edge)
}

// place returns the row, 0 for the upper, and the place along the run of a bolt, m.
func (b *bracketBolts) place(i int) (row int, x float64) {
	return i / b.Columns, b.Column(i % b.Columns)
}

func (b *bracketBolts) force(u burden, i int) (tension, shear float64) {
	row, _ := b.place(i)
	pulled := u.upper
	if row == 1 {
		pulled = u.lower
	}
	tension = b.Prying * (math.Max(0, pulled)/float64(b.Columns) + b.twistPull(&u, i))
	fx, fz := b.inPlane(&u, i)
	return tension, math.Hypot(fx, fz)
}

// twistLever is how far from the middle of a plate with one column of bolts it bears when it is
// twisted about the post, as a part of half its width: as for the edge of a flange.
const twistLever = 0.8

// twistPull returns what twist about the post pulls on a bolt, N: columns against one another, or
// the one column against the edge of the plate.
func (b *bracketBolts) twistPull(u *burden, i int) float64 {
	if b.Columns == 1 {
		return math.Abs(u.twist) / (2 * twistLever * b.Width / 2)
	}
	_, x := b.place(i)
	return math.Max(0, b.away*u.twist*x/b.apart)
}

// inPlane returns the shear in a bolt along the run and upwards, N.
func (b *bracketBolts) inPlane(u *burden, i int) (fx, fz float64) {
	row, x := b.place(i)
	z := b.Spacing / 2
	if row == 1 {
		z = -z
	}
	n := float64(b.count())
	return u.Fx/n + u.inPlane*z/b.polar, u.Fz/n - u.inPlane*x/b.polar
}

func (b *bracketBolts) together(u burden) float64 {
	sum := 0.0
	for i := range b.count() {
		t, _ := b.force(u, i)
		sum += t
	}
	return sum
}

// sheared counts what lies in the plane of the face: along the run and vertical. What is square
// to it pulls the bolts or presses the face.
func (b *bracketBolts) sheared(a *FootActions) (force float64, formula string) {
	return math.Hypot(a.Fx, a.Fz), "√(Fx² + Fz²)"
}

func (b *bracketBolts) row(i int) BoltRow {
	row, x := b.place(i)
	if row == 0 {
		return BoltRow{Place: "upper row", Along: x, Up: -b.Below}
	}
	return BoltRow{Place: "lower row", Along: x, Up: -b.Below - b.Spacing}
}

// noteFace notes where the bolts stand on the face.
func (b *bracketBolts) noteFace(r *Recorder) {
	r.given("rows apart", "s", b.Spacing*1e3, "mm", usersOwn, "")
	r.given("upper row below where the post is held", "b", b.Below*1e3, "mm", usersOwn, "")
	r.given("bolts in a row", "nr", float64(b.Columns), "1", usersOwn, "")
	if b.Columns == 1 {
		return
	}
	var squares []string
	for i := range b.Columns {
		x := fmt.Sprintf("x%d", i+1)
		r.given(fmt.Sprintf("bolt %d of a row, along the run from the post", i+1), x, b.Column(i)*1e3, "mm", usersOwn, "")
		squares = append(squares, x+"²")
	}
	r.step("sum of x² of all bolts", "Sx", b.apart*1e6, "mm²", "2 ("+strings.Join(squares, " + ")+")", "")
}

// signed returns a symbol with the sign by which it counts away from the face.
func (b *bracketBolts) signed(sign float64, symbol string) string {
	if sign*b.away < 0 {
		return "-" + symbol
	}
	return symbol
}

func (b *bracketBolts) noteTension(a *FootActions, i int, r *Recorder) {
	u := b.under(*a)
	row, x := b.place(i)
	const clause = "statics of two rows of bolts on a face"
	down, up := b.downs(&u)
	r.step("moment away from the face, where the post is held", "M", u.moment, "Nm", b.signed(-1, "Mx"), "")
	r.step("force away from the face", "H", u.push, "N", b.signed(1, "Fy"), "")
	r.given("from the face to the axis of the post", "a", b.Eccentricity*1e3, "mm", usersOwn, "")
	b.noteFace(r)
	pulled, counts := u.upper, ""
	if row == 0 {
		if !b.Weight {
			counts = ", at least 0"
		}
		lever, formula := b.Spacing, "s"
		if b.EdgeBearing && u.lower <= 0 {
			r.given("lower edge of the plate below the lower row", "g", b.Bottom*1e3, "mm", usersOwn, "")
			lever, formula = lever+b.Bottom, "s + g"
		}
		r.step("downward force that counts", "N", down, "N", "-Fz"+counts, "")
		r.step("lever from the upper row to what is pressed", "z", lever*1e3, "mm", formula, "")
		r.step("tension of the upper row", "Trow", u.upper, "N", "(M + H (b + z) + N a) / z", clause)
	} else {
		if !b.Weight {
			counts = ", at most 0"
		}
		pulled = u.lower
		edge := 0.0
		if b.EdgeBearing && u.upper <= 0 {
			edge = b.Top
		}
		r.step("downward force that counts", "N", up, "N", "-Fz"+counts, "")
		r.given("pressed edge of the plate above the upper row, 0 for the row itself", "g", edge*1e3, "mm", usersOwn, "")
		r.step("tension of the lower row", "Trow", u.lower, "N", "-(M + H (b - g) + N a) / (s + g)", clause)
	}
	twist := "Mz - a Fx"
	if b.away < 0 {
		twist = "Mz + a Fx"
	}
	r.step("twist about the post at the face", "Mt", u.twist, "Nm", twist, "")
	if b.Columns == 1 {
		r.given("width of the plate", "w", b.Width*1e3, "mm", usersOwn, "")
		r.step("pull of twist, the plate bearing at 0.8 of half its width", "Tt", b.twistPull(&u, i), "N", "|Mt| / (0.8 w)", clause)
	} else {
		at := i%b.Columns + 1
		r.step(fmt.Sprintf("pull of twist on bolt %d of the row, 0 where it presses", at), "Tt", math.Max(0, b.away*u.twist*x/b.apart), "N", fmt.Sprintf("max(0, %s x%d / Sx)", b.signed(1, "Mt"), at), clause)
	}
	r.given("factor of prying", "kQ", b.Prying, "1", usersOwn, "")
	r.step("tension in the bolt", "T", b.Prying*(math.Max(0, pulled)/float64(b.Columns)+b.twistPull(&u, i)), "N", "kQ (max(Trow / nr, 0) + Tt)", clause)
}

func (b *bracketBolts) noteShear(a *FootActions, i int, r *Recorder) {
	u := b.under(*a)
	row, _ := b.place(i)
	z, up := b.Spacing/2, "s / 2"
	if row == 1 {
		z, up = -z, "-s / 2"
	}
	const clause = "statics of bolts in the plane of the face"
	_, shear := b.force(u, i)
	r.given("number of bolts", "n", float64(b.count()), "1", usersOwn, "")
	b.noteFace(r)
	r.step("moment in the plane of the face about the middle of the bolts", "Mp", u.inPlane, "Nm", "My + Fx (b + s / 2)", clause)
	r.step("bolt above the middle", "zb", z*1e3, "mm", up, "")
	along, squares := "Fx / n + Mp zb / Sp", "nr s² / 2"
	upwards := "Fz / n"
	if b.Columns > 1 {
		upwards = fmt.Sprintf("Fz / n - Mp x%d / Sp", i%b.Columns+1)
		squares = "Sx + " + squares
	}
	r.step("sum of the squares of the distances from the middle", "Sp", b.polar*1e6, "mm²", squares, "")
	r.step("shear in the bolt", "V", shear, "N", "√(("+along+")² + ("+upwards+")²)", clause)
}
