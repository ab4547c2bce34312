package report

import (
	"bytes"
	"fmt"
	"html/template"
	"io"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/internal/quantity"
)

// spacingPage is what the template shows.
type spacingPage struct {
	Title, Basis, Status, Headline, TOML string
	Top, Others                          []labelledText
	Notes                                []string
	Answer, Checks                       pageTable
	Layouts                              []pageTable
	Open                                 []pageList
	Plot                                 template.HTML // our own drawing
}

type pageList struct {
	Head  string
	Items []string
}

// SpacingHTML writes what SpacingText has, with the plot, as one page that needs nothing else.
func SpacingHTML(w io.Writer, s *explore.Spacing, o TextOptions) error {
	svg, err := spacingPlot(s, o.Units).svg()
	if err != nil {
		return err
	}
	p := &printer{units: o.Units}
	h := spacingPage{
		Title: s.Title, Basis: s.Basis, Status: string(s.Status), Headline: s.Headline, TOML: s.TOML,
		Notes: append([]string{s.SetOut}, s.Notes...), Plot: template.HTML(bytes.TrimSpace(svg)),
		Answer: p.answerTable(s), Checks: p.checksTable(s),
	}
	for _, c := range s.Cautions {
		if c.ID == "C1" || c.Triggered {
			h.Top = append(h.Top, labelledText{c.ID, c.Text})
		} else {
			h.Others = append(h.Others, labelledText{c.ID, c.Text})
		}
	}
	for i := range s.Columns {
		if c := &s.Columns[i]; c.None == "" {
			t := p.layoutTable(c)
			t.ID = fmt.Sprintf("layouts-%d", i+1)
			h.Layouts = append(h.Layouts, t)
		}
	}
	if s.Largest != nil {
		h.Open = append(h.Open, p.listOf(fmt.Sprintf("Not checked at this spacing: %d", len(s.Unchecked)), s.Unchecked))
	}
	h.Open = append(h.Open, p.listOf("Left out by the user", s.LeftOut))
	var out bytes.Buffer
	if err := pages().ExecuteTemplate(&out, "spacing.html", h); err != nil {
		return fmt.Errorf("writing HTML: %w", err)
	}
	_, err = w.Write(out.Bytes())
	return err
}

func (p *printer) listOf(head string, items []check.Item) pageList {
	l := pageList{Head: head}
	for _, item := range items {
		reason := strings.TrimPrefix(item.Reason, "left out by the user")
		l.Items = append(l.Items, joined("; ", joined(": ", item.Item, reason), p.demand(item), item.Load))
	}
	return l
}

// columns heads a table: a name that begins with "#" is of numbers.
func columns(heads ...string) []pageColumn {
	out := make([]pageColumn, len(heads))
	for i, head := range heads {
		name, number := strings.CutPrefix(head, "#")
		out[i] = pageColumn{Head: strings.TrimSpace(name), Number: number}
	}
	return out
}

// add appends a row, its cells as the columns are.
func (t *pageTable) add(largest bool, cells ...string) {
	row := pageRow{Largest: largest}
	for i, text := range cells {
		cell := pageCell{Text: text, RowHead: i == 0}
		if t.Columns[i].Number {
			cell.Class = "n"
		}
		row.Cells = append(row.Cells, cell)
	}
	t.Rows = append(t.Rows, row)
}

func (p *printer) spacingHead(what string) string { return "#" + what + ", " + p.lengthUnit() }

// lengthUnit is the unit of a spacing in words.
func (p *printer) lengthUnit() string {
	if p.units == quantity.US {
		return "ft in"
	}
	return "m"
}

func (p *printer) answerTable(s *explore.Spacing) pageTable {
	t := pageTable{ID: "answer", Caption: "The answer in each column", Columns: columns("column", p.spacingHead("largest spacing"), "#bays", "#posts", "#utilisation", "governed by", "where", "means")}
	for i := range s.Columns {
		c := &s.Columns[i]
		row := answerOf(c)
		switch {
		case c.None != "":
			t.add(false, c.Name, "-", "", "", "", "", "", c.None)
		case row == nil:
			t.add(false, c.Name, "none", "", "", "", "", "", c.Means)
		default:
			t.add(false, c.Name, p.number(row.Spacing, "m"), fmt.Sprint(row.Bays), fmt.Sprint(row.Posts), Utilisation(row.Utilisation, row.Status), row.ID, joined("; ", joined(", ", row.Element, row.Place), p.oddWords(row), yieldWords(row)), c.Means)
		}
	}
	return t
}

func (p *printer) layoutTable(c *explore.SpacingColumn) pageTable {
	t := pageTable{Head: "Layouts, " + c.Name, Caption: "Layouts, " + c.Name, Unseen: true, Columns: columns(p.spacingHead("spacing"), "#bays", "#posts", "#utilisation", "status", "governed by", "where")}
	for i := range c.Rows {
		row := &c.Rows[i]
		geometry := ""
		if row.Geometry != "" {
			geometry = "geometry fails: " + row.Geometry
		}
		t.add(c.Largest != nil && row.Spacing == *c.Largest, p.number(row.Spacing, "m"), fmt.Sprint(row.Bays), fmt.Sprint(row.Posts), spacingUtilisation(row),
			string(row.Status), row.ID, joined("; ", joined(", ", row.Element, row.Place), p.oddWords(row), yieldWords(row), row.Reason, geometry))
	}
	return t
}

func (p *printer) checksTable(s *explore.Spacing) pageTable {
	shown := spacingColumns(s)
	heads := []string{"check"}
	for _, c := range shown {
		heads = append(heads, p.spacingHead(c.Name))
	}
	t := pageTable{ID: "checks", Caption: "Each check: the largest spacing that passes / the smallest that fails", Unseen: true, Columns: columns(heads...)}
	for _, id := range spacingIDs(shown) {
		t.add(false, p.checkCells(id, shown)...)
	}
	return t
}
