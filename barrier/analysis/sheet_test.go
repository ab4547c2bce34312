package analysis_test

import (
	"fmt"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/analysis"
	"example.com/stanchion/internal/verification"
	"example.com/stanchion/solver"
)

// overturning returns the moment about X at the surface with which the ground holds a frame whose feet
// stand at y = 0, N·m: positive against loads outward.
func overturning(r *analysis.Replayer, s *solver.Solution) (sum float64) {
	for _, q := range s.Reactions {
		switch q.Freedom {
		case solver.RX:
			sum += q.Value
		case solver.UY:
			sum -= q.Value * r.Frame.Position(q.Node)[2]
		}
	}
	return sum
}

// A sheet carried by posts that stands out above their tops, and one that hangs below their feet,
// reach the ground with their own arm: the moment about the surface is pressure times area times the
// height of its middle.
func TestWindOnSheetBeyondPosts(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("wind on a mesh beyond its posts", "area and its middle by hand, 1.2 on round tubes, 2.0 on flat-sided members", verification.Derived)
	const q = 500.0
	for _, c := range []struct{ level, bottom, top float64 }{{0, 0.2, 1.3}, {0.1, 0, 1.0}, {0.1, 0, 1.3}} {
		p := rigidTwoRails(evenly(3, 2), withLoads(gusty(q, "outward")), func(d *barrier.Definition) {
			d.Infill = barrier.Infill{Kind: barrier.MeshInfill, Solidity: 0.3, Bottom: c.bottom, Top: c.top, Carrier: barrier.CarriedByPosts}
		})
		p.level = c.level
		d := p.definition(t)
		fields, r := fieldsOf(t, d)
		s := solve(t, r, fields[0].Field.Senses[0].On(r))
		w, panel := 1.2*q*d.Post.Ring.OD, 2.0*0.3*q*(c.top-c.bottom)*4
		what := fmt.Sprintf("feet at %g m, mesh from %g to %g m", c.level, c.bottom, c.top)
		hand.Within(1e-6, "force, "+what+": N", w*(2*4+3*(1-c.level))+panel, -groundOf(s)[1])
		posts := 3 * (1 - c.level)
		hand.Within(1e-6, "moment about the surface, "+what+": Nm", w*4*(1.0+0.5)+w*posts*(1+c.level)/2+panel*(c.top+c.bottom)/2, overturning(r, s))
	}
}

// A corner whose second leg is a wall of 0.3 m, six tenths of the height of the sheet, shelters the end
// of the first by as much: between a free end and a return corner of a whole height.
func TestWindBesideShortReturn(t *testing.T) {
	hand := verification.New(t, verification.Weather).From("wind beside a short return corner", "zones by hand, EN 1991-1-4 Table 7.9 (memory), linear between no return corner and one as long as the wall is high", verification.Memory)
	const q = 600.0
	sheet := func(d *barrier.Definition) {
		d.Infill = barrier.Infill{Kind: barrier.SheetInfill, Solidity: 1, Bottom: 0.5, Top: 1.0, Carrier: barrier.CarriedByRails, Rails: []int{1, 0}}
	}
	p := bent(rigidTwoRails([]float64{0, 1.5, 3, 4.5, 6, 6.3}, withLoads(gusty(q, "outward")), sheet), []int{4}, []float64{right}, []float64{0, 0})
	d := p.definition(t)
	fields, r := fieldsOf(t, d)
	c := fields[0].Field.Senses[0].On(r)
	w := 1.2 * q * d.Post.Ring.OD
	// l/h = 12. Zones end at 0.15, 1.0 and 2.0 m from either end of 6 m.
	free := 3.4*0.15 + 2.1*0.85 + 1.7*1.0
	returned := 2.1*0.15 + 1.8*0.85 + 1.4*1.0
	first := q * 0.5 * (free + 1.2*2.0 + 0.4*free + 0.6*returned)
	hand.Within(1e-9, "on the first leg, N", w*(2*6+5*1.0)+first, force(&c)[1])
}
