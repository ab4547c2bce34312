package sections

import (
	"bytes"
	"embed"
	"encoding/csv"
	"fmt"
	"strconv"

	"example.com/stanchion/internal/quantity"
)

//go:embed tables/*.csv
var tableFiles embed.FS

// What one unit of a table column is in SI.
const (
	mm   = 1e-3
	inch = 0.0254
	mega = 1e6
	ksi  = 6.894757293168361e6 // of 1 lbf = 4.4482216152605 N and 1 in = 0.0254 m, exactly
)

// A row is one line of an embedded table, read by column name. A fault in it is
// a bug of this package, so reading panics and says where.
type row struct {
	table   string
	line    int
	columns map[string]int // of the table, by name
	fields  []string
}

// readTable returns the rows of an embedded table in document order. Lines that
// begin with # are its head.
func readTable(name string) []row {
	data, err := tableFiles.ReadFile("tables/" + name)
	if err != nil {
		panic("sections: " + err.Error())
	}
	reader := csv.NewReader(bytes.NewReader(data))
	reader.Comment = '#'
	header, err := reader.Read()
	if err != nil {
		panic(fmt.Sprintf("sections: %s: %v", name, err))
	}
	columns := make(map[string]int, len(header))
	for i, column := range header {
		columns[column] = i
	}
	records, err := reader.ReadAll()
	if err != nil {
		panic(fmt.Sprintf("sections: %s: %v", name, err))
	}
	rows := make([]row, 0, len(records))
	for i, record := range records {
		rows = append(rows, row{table: name, line: i + 1, columns: columns, fields: record})
	}
	return rows
}

func (r row) text(column string) string {
	i, ok := r.columns[column]
	if !ok {
		panic(fmt.Sprintf("sections: %s has no column %s", r.table, column))
	}
	return r.fields[i]
}

func (r row) number(column string) float64 {
	v, err := strconv.ParseFloat(r.text(column), 64)
	if err != nil {
		panic(fmt.Sprintf("sections: %s row %d, %s: %v", r.table, r.line, column, err))
	}
	return v
}

// optional is number, and 0 where the field is empty.
func (r row) optional(column string) float64 {
	if r.text(column) == "" {
		return 0
	}
	return r.number(column)
}

// round9 rounds to 9 significant figures, so that listed bytes agree between machines.
func round9(v float64) float64 { return quantity.Figures(v, 9) }

// given returns a rounded value, or nil for 0.
func given(v float64) *float64 {
	if v == 0 {
		return nil
	}
	v = round9(v)
	return &v
}
