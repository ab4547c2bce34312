package explore

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/quantity"
)

// setOut is the length, m, below which two places on a site are one.
const setOut = 0.5e-3

// WrongOption is an option of a call that cannot be followed: which, what is wrong with it and
// what would be right.
type WrongOption struct{ Option, What, Fix string }

func (e *WrongOption) Error() string { return e.Option + ": " + e.What + "; " + e.Fix }

// part is what is divided into bays for itself: from an end, a corner or a gap to the next one.
type part struct {
	from, to float64 // x of the supports at its ends, m
	gap      bool    // one bay without rails
}

func (p part) length() float64 { return p.to - p.from }

// ground is what every layout of a run keeps: its parts, and the grid on which posts are set
// out.
type ground struct {
	parts []part
	grid  float64 // m; 0 for equal bays
}

// groundOf returns the parts of a run, of another length where on (m) is not 0.
func groundOf(d *barrier.Definition, on, grid float64, units quantity.System) (ground, error) {
	supports := d.Supports()
	g := ground{grid: grid}
	for _, s := range d.Run.Stretches() {
		if n := len(g.parts); n > 0 && supports[s.First] > g.parts[n-1].to+setOut {
			g.parts = append(g.parts, part{g.parts[n-1].to, supports[s.First], true})
		}
		g.parts = append(g.parts, part{supports[s.First], supports[s.Last], false})
	}
	if err := g.lengthen(d, on, units); err != nil {
		return ground{}, err
	}
	return g, g.judgeGrid(units)
}

// lengthen moves the end of the run.
func (g *ground) lengthen(d *barrier.Definition, on float64, units quantity.System) error {
	const option = "--on"
	legs := given(d, "run.legs")
	last := &g.parts[len(g.parts)-1]
	end := g.parts[0].from + on
	switch {
	case on == 0:
		return nil
	case legs:
		return &WrongOption{option, "the run has legs, and one length says nothing of each", "leave it out and write the length of each leg in run.legs"}
	case !(on > 0):
		return &WrongOption{option, "a run has a length above 0", `write the length from the first support to the last, such as --on "6 m"`}
	case end <= last.from+setOut:
		return &WrongOption{option, "the run would end " + quantity.Place(on).In(units) + " from its start, and a gap or gate ends " + quantity.Place(last.from-g.parts[0].from).In(units) + " from there",
			"write a longer run, or take the gap out of the file"}
	}
	last.to = end
	return nil
}

// leastGrid is the finest grid, m, on which posts can be set out.
const leastGrid = 1e-3

// judgeGrid refuses a grid on which nothing can be set out.
func (g *ground) judgeGrid(units quantity.System) error {
	const option = "--grid"
	switch longest := g.longest(); {
	case g.grid == 0:
	case !(g.grid >= leastGrid):
		return &WrongOption{option, "nobody sets out posts so finely", `write what a site can set out, such as --grid "50 mm" or --grid "2 in"`}
	case g.grid > longest+setOut:
		return &WrongOption{option, "the grid is wider than the longest part of the run, which is " + quantity.Place(longest).In(units) + " long",
			`write what a site can set out, such as --grid "50 mm" or --grid "2 in"`}
	}
	return nil
}

// longest is the length of the longest part that has rails, m.
func (g *ground) longest() float64 {
	longest := 0.0
	for _, p := range g.parts {
		if !p.gap {
			longest = math.Max(longest, p.length())
		}
	}
	return longest
}

// layout is one way in which the posts of the run can stand.
type layout struct {
	spacing  float64   // the largest bay, gaps apart, m
	supports []float64 // x of every post and wall, m
	gaps     int       // bays that are gaps
	odd      []int     // bays, from 0, that take what the grid leaves over
}

func (l *layout) bays() int { return len(l.supports) - 1 - l.gaps }

// mostLayouts is how many layouts of one run are looked at.
const mostLayouts = 10_000

// spacings returns the spacing of every layout of the run that has none below least (m),
// descending. On equal bays it is each length of a bay at which a part has one bay more; on a
// grid each multiple, and before them the longest part as one bay.
func (g *ground) spacings(least float64) ([]float64, error) {
	var all []float64
	tooMany := func() error {
		return &WrongOption{"--down-to", fmt.Sprintf("the run has more than %d layouts down to there", mostLayouts), "write a larger spacing to stop at, or a coarser --grid"}
	}
	if g.grid > 0 {
		longest := g.longest()
		k := math.Floor(longest/g.grid + rounding)
		if k > mostLayouts {
			return nil, &WrongOption{"--grid", fmt.Sprintf("the run has more than %d layouts on it", mostLayouts), "write a coarser grid"}
		}
		if longest > k*g.grid+setOut {
			all = append(all, longest)
		}
		for ; k >= 1 && k*g.grid >= least-rounding; k-- {
			all = append(all, k*g.grid)
		}
		return all, nil
	}
	for _, p := range g.parts {
		for n := 1.0; !p.gap && p.length()/n >= least-rounding; n++ {
			all = append(all, p.length()/n)
			if len(all) > mostLayouts {
				return nil, tooMany()
			}
		}
	}
	slices.SortFunc(all, func(a, b float64) int {
		if a > b {
			return -1
		}
		return 1
	})
	return slices.CompactFunc(all, func(a, b float64) bool { return math.Abs(a-b) <= rounding*a }), nil
}

// rounding is the share of a length that is lost in working with it, far under what can be
// set out.
const rounding = 1e-9

// at returns the layout of a spacing, m. Each part is divided into equal bays no longer than
// it, as run.spacing does. On a grid each part is set out from its start: whole bays of the
// spacing, and one odd bay at its end for what is left.
func (g *ground) at(spacing float64) layout {
	l := layout{supports: []float64{g.parts[0].from}}
	for _, p := range g.parts {
		switch {
		case p.gap:
			l.supports = append(l.supports, p.to)
			l.gaps++
		case g.grid > 0:
			l.setOut(p, spacing)
		default:
			l.divide(p, spacing)
		}
	}
	return l
}

// divide adds the equal bays of a part.
func (l *layout) divide(p part, spacing float64) {
	bays := math.Max(1, math.Ceil(p.length()/spacing-rounding))
	for k := 1.0; k <= bays; k++ {
		l.supports = append(l.supports, p.from+p.length()*k/bays)
	}
	l.spacing = math.Max(l.spacing, p.length()/bays)
}

// equalBays is the largest bay, m, of a layout with as many posts in each part at equal distances.
func (g *ground) equalBays(l *layout) (largest float64) {
	at := 0
	for _, p := range g.parts {
		first := at
		for at+1 < len(l.supports) && l.supports[at] < p.to-setOut/2 {
			at++
		}
		if !p.gap {
			largest = math.Max(largest, p.length()/float64(at-first))
		}
	}
	return largest
}

// setOut adds the bays of a part from its start, and the odd one.
func (l *layout) setOut(p part, spacing float64) {
	whole := math.Floor(p.length()/spacing + rounding)
	for k := 1.0; k <= whole; k++ {
		l.supports = append(l.supports, p.from+k*spacing)
	}
	last := len(l.supports) - 1
	if rest := p.to - l.supports[last]; rest > setOut {
		l.odd = append(l.odd, last)
		l.supports = append(l.supports, p.to)
		l.spacing = math.Max(l.spacing, rest)
	} else {
		l.supports[last] = p.to
	}
	if whole > 0 {
		l.spacing = math.Max(l.spacing, spacing)
	}
}

// changes puts the layout in the place of the one that a document describes.
func (l *layout) changes() []barrier.Change {
	places := make([]any, len(l.supports))
	for i, x := range l.supports {
		places[i] = metres(x)
	}
	return []barrier.Change{{Path: "run.length"}, {Path: "run.spacing"}, {Path: "run.posts", Value: places}}
}

// metres writes a length (m) as a definition takes it, to the last bit.
func metres(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) + " m" }
