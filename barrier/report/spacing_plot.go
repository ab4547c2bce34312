package report

import (
	"bytes"
	"io"
	"math"
	"slices"

	"gonum.org/v1/plot/plotter"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/internal/quantity"
)

// SpacingSVG draws utilisation against spacing, one curve for each column, with C1 below.
func SpacingSVG(w io.Writer, s *explore.Spacing, o TextOptions) error {
	svg, err := spacingPlot(s, o.Units).svg()
	if err != nil {
		return err
	}
	_, err = w.Write(append([]byte("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"), bytes.TrimSpace(svg)...))
	if err == nil {
		_, err = io.WriteString(w, "\n")
	}
	return err
}

// plotTop is the largest utilisation that a plot shows.
const plotTop = 2.0

// spacingPlot is the plot of the layouts that were checked.
func spacingPlot(s *explore.Spacing, units quantity.System) *plotted {
	unit := "m"
	if units == quantity.US {
		unit = "ft"
	}
	p := &plotted{
		title: s.Title + ": largest utilisation against spacing of posts",
		x:     "spacing, " + unit, y: "utilisation", limit: 1, top: 1.25,
	}
	p.below = wrap("Each mark is a layout that was checked: a dot passes, a square is not checked in full, a ring fails. Between them nothing was, and a curve breaks at what has no utilisation, such as a layout that is refused.", plotColumns)
	p.below = append(p.below, wrap("C1 "+check.PreCheck, plotColumns)...)
	for i := range s.Columns {
		column := &s.Columns[i]
		p.addSpacings(column.Name, column.Rows, unit, func(row *explore.SpacingRow) *float64 { return row.Utilisation })
	}
	declared := s.Columns[0].Rows
	if slices.ContainsFunc(declared, func(row explore.SpacingRow) bool { return row.YieldsFirst() }) {
		p.addSpacings("first yield, "+explore.AsDeclared, declared, unit, func(row *explore.SpacingRow) *float64 {
			if row.FirstYield == nil {
				return nil
			}
			return row.FirstYield.Utilisation
		})
	}
	if row := answerOf(&s.Columns[0]); row != nil && row.Utilisation != nil {
		p.mark = &plotter.XY{X: quantity.In(row.Spacing, unit), Y: *row.Utilisation}
		p.markWords = "largest: " + quantity.Place(row.Spacing).In(units)
	}
	return p
}

// addSpacings adds a curve of what the layouts have a value of; it breaks at one that has none.
func (p *plotted) addSpacings(name string, rows []explore.SpacingRow, unit string, value func(*explore.SpacingRow) *float64) {
	c := curve{name: name}
	apart := false
	for i := range rows {
		v := value(&rows[i])
		if v == nil {
			apart = true
			continue
		}
		c.points = append(c.points, plotter.XY{X: quantity.In(rows[i].Spacing, unit), Y: *v})
		c.marks, c.apart = append(c.marks, markOf(rows[i].Status)), append(c.apart, apart)
		p.top, apart = math.Max(p.top, math.Min(plotTop, *v*1.05)), false
	}
	if len(c.points) > 0 {
		p.curves = append(p.curves, c)
	}
}

// markOf is the mark of a layout.
func markOf(status check.Status) mark {
	switch status {
	case check.Fail:
		return ring
	case check.Incomplete:
		return square
	}
	return dot
}

// plotColumns is how many letters a line below a plot holds.
const plotColumns = 116
