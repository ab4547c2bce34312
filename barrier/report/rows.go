package report

import (
	"io"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"example.com/stanchion/barrier/check"
)

// Tables are the lists of rows of a result, named as in JSON. As CSV they have every row: a
// column for each field, with its name and unit in JSON, behind one for the file.

// AllTables names all tables as one: behind a column for the table the columns of all, each once,
// which a row has empty where its table has no such column.
const AllTables = "all"

// Tables returns the names of the tables of a result, in the order of JSON.
func Tables() []string {
	var names []string
	for _, f := range reflect.VisibleFields(reflect.TypeFor[check.Result]()) {
		if isTable(f.Type) {
			names = append(names, jsonName(f))
		}
	}
	return names
}

// TableCSV writes a table of one result, one of Tables or AllTables, with its head. File is the
// name of the definition, which stands in every row. It panics for another table.
func TableCSV(w io.Writer, file string, r *check.Result, table string) error {
	var about []string
	if r.Age != nil {
		about = append(about, ageWords(r.Age))
	}
	return addRows(NewCSVAbout(w, about, columnsOf(table)...), file, r, table)
}

// HeadCSV writes what stands above a table of several results: C1 and the names of the columns.
// Tables are those of TableCSV.
func HeadCSV(w io.Writer, table string) error { return NewCSV(w, columnsOf(table)...).Flush() }

// RowsCSV writes the rows of a table of one result, to stand below a head. Its arguments are those
// of TableCSV.
func RowsCSV(w io.Writer, file string, r *check.Result, table string) error {
	return addRows(ContinueCSV(w, len(columnsOf(table))), file, r, table)
}

func addRows(out *CSV, file string, r *check.Result, table string) error {
	if table == AllTables {
		return addAllRows(out, file, r)
	}
	field := fieldOf(table)
	rows := reflect.ValueOf(r).Elem().FieldByIndex(field.Index)
	columns := rowFields(field.Type.Elem())
	for i := range rows.Len() {
		cells := []any{file}
		for _, c := range columns {
			cells = append(cells, cellOf(rows.Index(i).FieldByIndex(c.Index)))
		}
		out.Row(cells...)
	}
	return out.Flush()
}

func addAllRows(out *CSV, file string, r *check.Result) error {
	place := map[string]int{}
	for i, name := range columnsOf(AllTables) {
		place[name] = i
	}
	for _, table := range Tables() {
		field := fieldOf(table)
		rows := reflect.ValueOf(r).Elem().FieldByIndex(field.Index)
		columns := rowFields(field.Type.Elem())
		for i := range rows.Len() {
			cells := make([]any, len(place))
			cells[0], cells[1] = table, file
			for _, c := range columns {
				cells[place[jsonName(c)]] = cellOf(rows.Index(i).FieldByIndex(c.Index))
			}
			out.Row(cells...)
		}
	}
	return out.Flush()
}

// cellOf returns a field of a row as a cell: numbers of a list in one, parted by spaces.
func cellOf(v reflect.Value) any {
	if v.Kind() != reflect.Slice {
		return v.Interface()
	}
	var numbers []string
	for i := range v.Len() {
		numbers = append(numbers, strconv.FormatFloat(v.Index(i).Float(), 'f', -1, 64))
	}
	return strings.Join(numbers, " ")
}

func columnsOf(table string) []string {
	if table == AllTables {
		columns := []string{"table"}
		for _, table := range Tables() {
			for _, name := range columnsOf(table) {
				if !slices.Contains(columns[1:], name) {
					columns = append(columns, name)
				}
			}
		}
		return columns
	}
	columns := []string{"file"}
	for _, f := range rowFields(fieldOf(table).Type.Elem()) {
		columns = append(columns, jsonName(f))
	}
	return columns
}

// fieldOf returns the field of a result that is the table of that name.
func fieldOf(table string) reflect.StructField {
	for _, f := range reflect.VisibleFields(reflect.TypeFor[check.Result]()) {
		if isTable(f.Type) && jsonName(f) == table {
			return f
		}
	}
	panic("report: no table " + table)
}

// isTable reports whether a field of a result holds rows, each of plain values.
func isTable(t reflect.Type) bool {
	if t.Kind() != reflect.Slice || t.Elem().Kind() != reflect.Struct || t.Implements(reflect.TypeFor[interface{ MarshalJSON() ([]byte, error) }]()) {
		return false
	}
	for _, f := range rowFields(t.Elem()) {
		switch f.Type.Kind() {
		case reflect.String, reflect.Bool, reflect.Int, reflect.Float64:
		case reflect.Pointer, reflect.Slice:
			if f.Type.Elem().Kind() != reflect.Float64 {
				return false
			}
		default:
			return false
		}
	}
	return true
}

// rowFields returns the fields of a row that JSON has.
func rowFields(row reflect.Type) []reflect.StructField {
	var fields []reflect.StructField
	for _, f := range reflect.VisibleFields(row) {
		if jsonName(f) != "-" {
			fields = append(fields, f)
		}
	}
	return fields
}

func jsonName(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	return name
}
