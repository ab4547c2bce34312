package barrier

import (
	"bytes"
	"embed"
	"encoding/csv"
	"fmt"
)

// tableFiles are the published tables by which joints and feet are read: couplers, set screws,
// soils and friction, each row with its source.
//
//go:embed tables/*.csv
var tableFiles embed.FS

// tableRows returns the rows of an embedded table by column; what is wrong in one is a bug.
func tableRows(name string) []map[string]string {
	data, err := tableFiles.ReadFile("tables/" + name)
	if err != nil {
		panic("barrier: " + err.Error())
	}
	reader := csv.NewReader(bytes.NewReader(data))
	reader.Comment = '#'
	records, err := reader.ReadAll()
	if err != nil || len(records) == 0 {
		panic(fmt.Sprintf("barrier: %s: %v", name, err))
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, column := range records[0] {
			row[column] = record[i]
		}
		rows = append(rows, row)
	}
	return rows
}
