package check

import (
	"bytes"
	"embed"
	"encoding/csv"
	"fmt"
	"strconv"
)

//go:embed tables/*.csv
var tableFiles embed.FS

// tableRows returns the rows of a table below its column names. Lines that begin with # are
// its head. It panics on a table that cannot be read, which is a bug.
func tableRows(name string) [][]string {
	text, err := tableFiles.ReadFile("tables/" + name)
	if err != nil {
		panic("check: " + err.Error())
	}
	reader := csv.NewReader(bytes.NewReader(text))
	reader.Comment = '#'
	rows, err := reader.ReadAll()
	if err != nil || len(rows) == 0 {
		panic(fmt.Sprintf("check: %s: %d rows: %v", name, len(rows), err))
	}
	return rows[1:]
}

// tableNumber reads a number of a table.
func tableNumber(table, field string) float64 {
	v, err := strconv.ParseFloat(field, 64)
	if err != nil {
		panic(fmt.Sprintf("check: %s: %v", table, err))
	}
	return v
}
