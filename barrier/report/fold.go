package report

import (
	"fmt"
	"slices"
)

// A text is for people: a table that grows with the run is folded. What is worst stands first,
// and the number of the rest below, none of which is worse.

// mostRows is how many rows of a table that grows with the run are printed.
const mostRows = 24

// fold returns a table's rows, and of a long one those with the largest measure, worst first and
// equal ones in their order. more is the number of the rest.
func fold[Row any](rows []Row, measure func(Row) float64) (shown []Row, more int) {
	if len(rows) <= mostRows {
		return rows, 0
	}
	type placed struct {
		row     int
		measure float64
	}
	var worst []placed // the largest so far, in order
	for i, row := range rows {
		m := measure(row)
		if len(worst) == mostRows && m <= worst[mostRows-1].measure {
			continue
		}
		at, _ := slices.BinarySearchFunc(worst, m, func(p placed, m float64) int {
			if p.measure >= m {
				return -1 // an earlier row of the same measure stands first
			}
			return 1
		})
		worst = slices.Insert(worst, at, placed{i, m})
		worst = worst[:min(len(worst), mostRows)]
	}
	for _, p := range worst {
		shown = append(shown, rows[p.row])
	}
	return shown, len(rows) - mostRows
}

// firstOf returns the first rows of a table that is told along the run, and the number of the rest.
func firstOf[Row any](rows []Row) (shown []Row, more int) {
	shown = rows[:min(len(rows), mostRows)]
	return shown, len(rows) - len(shown)
}

// folded tells of rows that are not printed, if there are any.
func (p *printer) folded(more int, format string) {
	if more > 0 {
		p.sentence(fmt.Sprintf(format, more))
	}
}

// everyRow is where the rows are that a text leaves out.
const everyRow = "; every row is in the CSV and the JSON."
