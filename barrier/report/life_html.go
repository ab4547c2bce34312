package report

import (
	"bytes"
	"fmt"
	"html/template"
	"io"

	"example.com/stanchion/barrier/explore"
)

// lifePage is what the template shows.
type lifePage struct {
	Title, Basis, Word, Means, Headline string
	Span, Inspection, Rule              string
	Top, Others                         []labelledText
	Notes, Assumptions                  []string
	Answer, Coatings, Checks, Yearly    pageTable
	Open                                []pageList
	Plot                                template.HTML // our own drawing
}

// LifeHTML writes what LifeText has, with the plot and every year, as one page that needs nothing else.
func LifeHTML(w io.Writer, l *explore.Life, o TextOptions) error {
	svg, err := lifePlot(l).svg()
	if err != nil {
		return err
	}
	p := &printer{units: o.Units}
	h := lifePage{
		Title: l.Title, Basis: l.Basis, Word: lifeWord(l), Means: lifeMeans, Headline: l.Headline, Span: yearWords(l.Years) + " years of weather",
		Inspection: inspectionWords(&l.Inspection), Rule: l.Inspection.Rule, Notes: l.Notes, Assumptions: l.Assumptions,
		Answer: p.lifeAnswerTable(l), Coatings: coatingTable(l), Checks: lifeChecksTable(l), Yearly: p.lifeYearsTable(l),
		Plot: template.HTML(bytes.TrimSpace(svg)),
	}
	for _, c := range l.Cautions {
		if c.ID == "C1" || c.Triggered {
			h.Top = append(h.Top, labelledText{c.ID, c.Text})
		} else {
			h.Others = append(h.Others, labelledText{c.ID, c.Text})
		}
	}
	h.Open = []pageList{p.listOf(fmt.Sprintf("Not checked: %d", len(l.Unchecked)), l.Unchecked), p.listOf("Left out by the user", l.LeftOut)}
	var out bytes.Buffer
	if err := pages().ExecuteTemplate(&out, "life.html", h); err != nil {
		return fmt.Errorf("writing HTML: %w", err)
	}
	_, err = w.Write(out.Bytes())
	return err
}

func (p *printer) lifeAnswerTable(l *explore.Life) pageTable {
	last := " at year " + yearWords(l.Years)
	t := pageTable{ID: "answer", Caption: "The answer at each rate", Columns: columns("rate", "#fails from year", "#not covered from year", "#no wall from year", "#utilisation at year 0", "#utilisation"+last, "#least wall"+last+", "+p.wallUnit(), "fails")}
	for i := range l.Rates {
		r := &l.Rates[i]
		first, end := &r.Rows[0], &r.Rows[len(r.Rows)-1]
		what := ""
		if r.Fails != nil {
			what = r.Fails.What
		}
		t.add(false, r.Rate, eventYear(r.Fails), eventYear(r.NotCovered), eventYear(r.Gone), lifeUtilisation(first), lifeUtilisation(end), p.leastWall(end), what)
	}
	return t
}

func coatingTable(l *explore.Life) pageTable {
	t := pageTable{ID: "coatings", Caption: "Paint and zinc of each surface, and the year at which they are gone", Unseen: true, Columns: columns("surface", "#zinc", "#rate times", "#gone, low", "#gone, middle", "#gone, high", "of")}
	for i := range l.Coatings {
		c := &l.Coatings[i]
		t.add(false, append(coatingCells(c), joined("; ", c.Elements, coatingNote(c)))...)
	}
	return t
}

func lifeChecksTable(l *explore.Life) pageTable {
	heads := []string{"check", "#at year 0", "#at last"}
	for i := range l.Rates {
		heads = append(heads, "#fails, "+l.Rates[i].Rate)
	}
	t := pageTable{ID: "checks", Caption: "Each check, and the year at which it fails", Unseen: true, Columns: columns(append(heads, "worst element")...)}
	for _, id := range lifeIDs(l) {
		t.add(false, lifeCheckCells(l, id)...)
	}
	return t
}

func (p *printer) lifeYearsTable(l *explore.Life) pageTable {
	heads := []string{"#year"}
	for i := range l.Rates {
		heads = append(heads, "#"+l.Rates[i].Rate, "#least wall, "+p.wallUnit())
	}
	worst := &l.Rates[len(l.Rates)-1]
	t := pageTable{ID: "years", Caption: "Year by year", Unseen: true, Columns: columns(append(heads, "governed by, "+worst.Rate+" rate")...)}
	for i := range worst.Rows {
		row := &worst.Rows[i]
		cells := []string{yearWords(row.Year)}
		for k := range l.Rates {
			cells = append(cells, lifeUtilisation(&l.Rates[k].Rows[i]), p.leastWall(&l.Rates[k].Rows[i]))
		}
		t.add(false, append(cells, joined("; ", joined(", ", row.ID, row.Element), row.Reason))...)
	}
	return t
}
