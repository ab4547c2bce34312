package solver

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/stanchion/internal/verification"
)

// Beams whose frequencies are known, each of EI = m = L = 1 so that ω is β²: all in one
// search and the lowest alone. The cubic's error in ω is (β/n)⁴/1440 of n parts.
func TestLowestVibrationOfBeams(t *testing.T) {
	const (
		blevins = "Blevins, Formulas for Natural Frequency and Mode Shape, table 8-1 (memory)"
		paper   = "Mathematical Problems in Engineering 2017, 1568019, table 1: a tip mass as heavy as the beam (public)"
	)
	record := verification.New(t, verification.Stability)
	pinned := []Freedom{UX, UY, UZ, RX}
	for _, c := range []struct {
		name       string
		start, end []Freedom
		tip        float64 // of the beam's mass
		want, tol  float64
		second     float64 // the next frequency in the same plane; 0: not looked at
		source     string
	}{
		{"cantilever", clamped, nil, 0, 1.875104069 * 1.875104069, 1e-8, 4.694091133 * 4.694091133, blevins},
		{"cantilever with a tip mass", clamped, nil, 1, 1.557298, 0.5e-6, 16.25009, paper},
		{"between hinges", pinned, []Freedom{UY, UZ}, 0, math.Pi * math.Pi, 1e-12, 4 * math.Pi * math.Pi, blevins},
		{"between clamps", clamped, clamped, 0, 4.730040745 * 4.730040745, 1e-8, 7.853204624 * 7.853204624, blevins},
	} {
		for _, parts := range []int{3, 12} {
			column := newColumn(c.start...)
			column.frame.members[0].NoSpin = true
			column.frame.Restrain(column.end, c.end...)
			d := column.frame.Divide(parts)
			d.Frame.Mass(column.end, c.tip)
			model, err := d.Frame.Factorise()
			if err != nil {
				t.Fatal(err)
			}
			const within = 1e-6
			got, err := model.LowestVibration(within)
			if err != nil {
				t.Fatal(err)
			}
			what := fmt.Sprintf("%s in %d parts", c.name, parts)
			beta := math.Sqrt(c.want)
			from := verification.Memory
			if c.source == paper {
				from = verification.Public
			}
			row := record.From("frequencies of beams", c.source, from)
			if parts == 12 { // fewer are stiffer
				row.Add(what+": β² of the lowest", c.want, roundTo(1e-5, got.Radian))
			}
			if most := math.Pow(beta/float64(parts), 4)/1440*1.2 + within + c.tol/c.want; got.Radian < c.want-c.tol || got.Radian/c.want-1 > most {
				t.Errorf("%s: β² = %.9g, want %.9g and no more than %.1e above (source: %s)", what, got.Radian, c.want, most, c.source)
			}
			if parts < 12 {
				continue
			}
			modes, err := model.Vibrations(3) // each bending one in two planes
			if err != nil {
				t.Fatal(err)
			}
			row.Add(what+": β² of the second", c.second, modes[2].Radian)
			if off := modes[2].Radian/c.second - 1; off < -1e-6 || off > math.Pow(c.second, 2)/math.Pow(12, 4)/1440*1.3+1e-6 {
				t.Errorf("%s: the second is %.9g, want %.9g (source: %s)", what, modes[2].Radian, c.second, c.source)
			}
			if math.Abs(got.Hertz*2*math.Pi/got.Radian-1) > 1e-12 {
				t.Errorf("%s: %v Hz, %v rad/s", what, got.Hertz, got.Radian)
			}
		}
	}
}

// The lowest frequency alone is that of the search for several, as near as it was asked for,
// and the movement that comes with it has it: in random frames, and in a row of like posts
// whose frequencies crowd.
func TestLowestVibrationIsTheLowest(t *testing.T) {
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 41))
		f := randomFrame(r)
		f.Mass(NodeID(r.IntN(len(f.nodes))), 20*r.Float64())
		holdsLowest(t, f, seed)
	}
	row := &Frame{}
	var last NodeID
	for i := range 40 {
		foot, top := row.Node("foot", Vec{float64(i), 0, 0}), row.Node("top", Vec{float64(i), 0, 1})
		row.Restrain(foot, clamped...)
		row.Member(Member{Start: foot, End: top, EA: 1e4, EIy: 1, EIz: 1, GJ: 1, Mass: 1, Reference: Vec{0, 1, 0}})
		if i > 0 {
			row.Member(Member{Start: last, End: top, EA: 1, EIy: 1e-4, EIz: 1e-4, GJ: 1e-4, Mass: 0.01, Reference: Vec{0, 1, 0}})
		}
		last = top
	}
	holdsLowest(t, row, 40)
}

func holdsLowest(t *testing.T, f *Frame, seed uint64) {
	t.Helper()
	model, err := f.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	modes, err := model.Vibrations(1)
	if err != nil {
		t.Fatal(err)
	}
	for _, within := range []float64{1e-2, 1e-4, 1e-8} {
		got, err := model.LowestVibration(within)
		if err != nil {
			t.Fatal(err)
		}
		if off := got.Radian/modes[0].Radian - 1; off < -1e-8 || off > within*1.01 {
			t.Errorf("frame %d within %g: %.12g rad/s, want %.12g", seed, within, got.Radian, modes[0].Radian)
		}
		p := got.model.pencil((*Factored).addMasses)
		w := p.quotient(got.u[:got.model.free])
		if off := w/(got.Radian*got.Radian) - 1; off < -1e-9 || off > 0.02 {
			t.Errorf("frame %d within %g: its movement has %.12g rad/s, it %.12g", seed, within, math.Sqrt(w), got.Radian)
		}
	}
}

func TestLowestVibrationWithoutMass(t *testing.T) {
	c := newColumn(clamped...)
	c.frame.members[0].Mass = 0
	model, err := c.frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	if v, err := model.LowestVibration(1e-3); v != nil || err != nil {
		t.Errorf("a frame without mass: %+v, %v", v, err)
	}
}

// A tube that hardly anything keeps from turning about itself has a frequency of that, and
// none with NoSpin.
func TestNoSpin(t *testing.T) {
	for _, still := range []bool{false, true} {
		c := newColumn(UX, UY, UZ, RX)
		c.frame.Restrain(c.end, UY, UZ)
		m := &c.frame.members[0]
		m.GJ, m.NoSpin = 1e-9, still
		got := vibrations(t, c.frame.Divide(4).Frame, 1)[0].Radian
		if spins := got < 0.1; spins == still {
			t.Errorf("NoSpin %v: the lowest is %g rad/s", still, got)
		}
	}
}

// quotient returns xᵀAx/xᵀBx.
func (p *pencil) quotient(x vector) float64 {
	pushed := make(vector, p.a.N)
	p.a.times(x, pushed)
	a := dot(x, pushed)
	p.b.times(x, pushed)
	return a / dot(x, pushed)
}
