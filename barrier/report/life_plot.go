package report

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"

	"gonum.org/v1/plot/plotter"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/sections"
)

// LifeSVG draws utilisation against the years, one curve for each rate, with C1 below.
func LifeSVG(w io.Writer, l *explore.Life, _ TextOptions) error {
	svg, err := lifePlot(l).svg()
	if err != nil {
		return err
	}
	_, err = w.Write(append(append([]byte("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"), bytes.TrimSpace(svg)...), '\n'))
	return err
}

// LifePNG draws what LifeSVG does as a PNG picture.
func LifePNG(w io.Writer, l *explore.Life, _ TextOptions) error {
	png, err := lifePlot(l).png()
	if err != nil {
		return err
	}
	_, err = w.Write(png)
	return err
}

// lifePlot is the plot of the years that were checked.
func lifePlot(l *explore.Life) *plotted {
	p := &plotted{title: l.Title + ": largest utilisation, year by year", x: "year", y: "utilisation", limit: 1, top: 1.25, namesLast: true}
	words := fmt.Sprintf("Every %s was checked%s: a dot passes, a square is not checked in full, a ring fails. ", stepWords(l), markedWords(l))
	if gone := goneWords(l); gone != "" {
		words += "Nothing protects the steel any more, at the " + l.Rates[len(l.Rates)-1].Rate + " rate: " + gone + "."
	}
	p.below = wrap(words, plotColumns)
	p.below = append(p.below, wrap("C1 "+check.PreCheck, plotColumns)...)
	for i := range l.Rates {
		p.addYears(&l.Rates[i])
	}
	worst := &l.Rates[len(l.Rates)-1]
	if e := worst.Fails; e != nil && e.Year > 0 {
		p.mark = &plotter.XY{X: e.Year, Y: 1}
		p.markWords = worst.Rate + ": fails from year " + explore.SoonerYear(e.Year)
	}
	return p
}

// stepWords name what lies between two checks.
func stepWords(l *explore.Life) string {
	if l.Step == 1 {
		return "year"
	}
	return yearWords(l.Step) + " years"
}

// markedWords say which of the checks have a mark.
func markedWords(l *explore.Life) string {
	if every := lifeEvery(len(l.Rates[0].Rows)); every > 1 {
		return fmt.Sprintf(", and one of %d has a mark", every)
	}
	return ""
}

// addYears adds the curve of a rate; it breaks at a year that has no utilisation.
func (p *plotted) addYears(r *explore.LifeRate) {
	c := curve{name: r.Rate + " rate", every: lifeEvery(len(r.Rows))}
	apart := false
	for i := range r.Rows {
		row := &r.Rows[i]
		if row.Utilisation == nil {
			apart = true
			continue
		}
		c.points = append(c.points, plotter.XY{X: row.Year, Y: *row.Utilisation})
		c.marks, c.apart = append(c.marks, markOf(row.Status)), append(c.apart, apart)
		p.top, apart = math.Max(p.top, math.Min(plotTop, *row.Utilisation*1.05)), false
	}
	if len(c.points) > 0 {
		p.curves = append(p.curves, c)
	}
}

// goneWords tell when each surface is bare, at the highest rate told: of which tubes where they differ.
func goneWords(l *explore.Life) string {
	times := map[string]int{}
	for i := range l.Coatings {
		times[l.Coatings[i].Surface]++
	}
	var words []string
	for i := range l.Coatings {
		c := &l.Coatings[i]
		year := c.Gone(levelOf(l.Rates[len(l.Rates)-1].Rate))
		if year == nil || *year <= 0 || *year > l.Years {
			continue
		}
		of := ""
		if times[c.Surface] > 1 {
			of = " (" + c.Elements + ")"
		}
		words = append(words, fmt.Sprintf("%s%s from year %s", c.Surface, of, explore.SoonerYear(*year)))
	}
	return strings.Join(words, ", ")
}

// levelOf is the level of a name.
func levelOf(rate string) sections.RateLevel {
	for _, level := range sections.RateLevels() {
		if level.String() == rate {
			return level
		}
	}
	return sections.HighRate
}
