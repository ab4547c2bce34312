package report

import (
	"embed"
	"html/template"
	"slices"
	"strconv"
	"strings"
	"sync"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// What the pages of HTML share: one style, tables with their captions, lists of cautions. A page is
// whole by itself: it asks for nothing outside and runs nothing.

//go:embed templates/*.html
var pageFiles embed.FS

// pages are the templates of all pages and of their parts.
var pages = sync.OnceValue(func() *template.Template {
	words := template.FuncMap{"precheck": func() string { return check.PreCheck }}
	return template.Must(template.New("pages").Funcs(words).ParseFS(pageFiles, "templates/*.html"))
})

// labelledText is a paragraph under its label.
type labelledText struct{ Label, Text string }

type pageTable struct {
	ID, Caption string
	Section     string // id of the heading that names it together with the caption
	Head        string
	Unseen      bool // the caption says what the heading above does: for those who hear the page
	Short       bool // it is not parted between sheets
	Grouped     bool // each row with what stands below it
	Columns     []pageColumn
	Rows        []pageRow
}

type pageColumn struct {
	Head, Unit string
	Number     bool
}

type pageRow struct {
	ID      string
	Largest bool
	Cells   []pageCell
	Notes   []string
	Working *pageWorking
}

type pageCell struct {
	Text, Link string
	Class      string // n of numbers, fails of the word for that, long of words that are broken
	RowHead    bool
	Bar        *pageBar
}

// pageBar is a utilisation as a bar, in the steps of the drawings.
type pageBar struct {
	Shade   string
	Percent string
}

type pageWorking struct {
	ID, Of  string
	Under   []string
	Steps   []pageStep
	Units   string
	Verdict string
}

type pageStep struct {
	Number                                                   int
	Sought, Symbol, Formula, Put, Value, Unit, Clause, Known string
}

// pageIDs gives out the ids of a page, each once.
type pageIDs map[string]int

// of makes an id of some words: "Hand checks beside" becomes hand-checks-beside.
func (ids pageIDs) of(words string) string {
	var id strings.Builder
	for _, r := range strings.ToLower(words) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			id.WriteRune(r)
		case id.Len() > 0 && !strings.HasSuffix(id.String(), "-"):
			id.WriteByte('-')
		}
		if id.Len() >= 60 {
			break
		}
	}
	return ids.once(strings.Trim(id.String(), "-"))
}

// once makes an id one that no other has.
func (ids pageIDs) once(id string) string {
	if id == "" {
		id = "part"
	}
	ids[id]++
	if n := ids[id]; n > 1 {
		return ids.once(id + "-" + strconv.Itoa(n))
	}
	return id
}

// onPage makes text of the user's own harmless and whole.
func onPage(text string) string { return strings.TrimSpace(plain(strings.ToValidUTF8(text, "\ufffd"))) }

// barOf is the bar of a utilisation, nil for one that is not known.
func barOf(u *float64) *pageBar {
	if u == nil {
		return nil
	}
	shades := map[shade]string{shade25: "to25", shade50: "to50", shade75: "to75", shade100: "to100", shadeOver: "over"}
	return &pageBar{shades[shadeOf(u, check.Pass)], quantity.Fix(100*min(max(*u, 0), 1), 1)}
}

// tableOnPage is a table as a page has it.
func (ids pageIDs) tableOnPage(t *Table) *pageTable {
	out := &pageTable{Grouped: slices.ContainsFunc(t.rows, func(r tableRow) bool { return len(r.notes) > 0 || r.working != nil })}
	const most = 12 // rows
	out.Short = !out.Grouped && len(t.rows) <= most
	for _, c := range t.columns {
		head, unit := c.named()
		out.Columns = append(out.Columns, pageColumn{onPage(head), unit, !c.left})
	}
	for i := range t.rows {
		out.Rows = append(out.Rows, ids.rowOnPage(t, &t.rows[i]))
	}
	return out
}

// longWord is the length of a word, bytes, beyond which it is broken to keep a column narrow.
const longWord = 40

func (ids pageIDs) rowOnPage(t *Table, row *tableRow) pageRow {
	var out pageRow
	for i, text := range row.cells {
		cell := pageCell{Text: onPage(text)}
		cell.RowHead = i == 0 && cell.Text != ""
		switch {
		case !t.columns[i].left:
			cell.Class = "n"
		case strings.EqualFold(text, string(check.Fail)):
			cell.Class = "fails"
		case slices.ContainsFunc(strings.Fields(text), func(word string) bool { return len(word) > longWord }):
			cell.Class = "long"
		}
		if i == len(row.cells)-1 && row.utilisation != nil {
			cell.Bar = barOf(row.utilisation)
		}
		out.Cells = append(out.Cells, cell)
	}
	for _, note := range row.notes {
		out.Notes = append(out.Notes, onPage(note))
	}
	if row.working != nil {
		out.Working = ids.workingOnPage(row.working)
		if len(row.notes) > 0 { // which say it already
			out.Working.Under = nil
		}
	}
	return out
}

func (ids pageIDs) workingOnPage(w *working) *pageWorking {
	out := &pageWorking{ID: ids.of("steps of " + w.of), Of: onPage(w.of), Units: onPage(w.units), Verdict: onPage(w.verdict)}
	for _, text := range w.under {
		out.Under = append(out.Under, onPage(text))
	}
	for i, s := range w.steps {
		out.Steps = append(out.Steps, pageStep{i + 1, onPage(s.sought), s.symbol, s.formula, s.put, s.value, s.unit, onPage(s.clause), s.known})
	}
	return out
}
