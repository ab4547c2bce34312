package check

import (
	"io/fs"
	"path"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// clauseRow is a clause, or the beginning that several share, and how its formulas are known.
type clauseRow struct{ clause, provenance, source string }

// clauses returns the rows of every table of clauses, a code each, in the order of the files.
var clauses = sync.OnceValue(func() (out []clauseRow) {
	files, err := fs.Glob(tableFiles, "tables/clauses_*.csv")
	if err != nil {
		panic("check: " + err.Error())
	}
	for _, file := range files {
		for _, r := range tableRows(path.Base(file)) {
			out = append(out, clauseRow{r[0], r[1], r[2]})
		}
	}
	return out
})

// clauseOf returns the row of a clause: the longest that it begins with; not ok where no table
// has it. "6.2" is the beginning of "6.2.5" and not of "6.21".
func clauseOf(clause string) (row clauseRow, ok bool) {
	for _, r := range clauses() {
		rest, begins := strings.CutPrefix(clause, r.clause)
		next, _ := utf8.DecodeRuneInString(rest)
		if begins && !unicode.IsDigit(next) && !unicode.IsLetter(next) && (!ok || len(r.clause) > len(row.clause)) {
			row, ok = r, true
		}
	}
	return row, ok
}
