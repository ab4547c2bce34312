package barrier

import (
	"encoding/csv"
	"errors"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/stanchion/internal/nearest"
)

// stockColumns are the columns that a stock list may have, the first two of which it must.
func stockColumns() []string {
	return []string{"tube", "grade", "use", "price_per_m", "price_per_ft"}
}

// ReadStock reads a list of tubes as comma-separated values (RFC 4180, UTF-8; a line that begins
// with # is a comment): a header that names the columns tube and grade, and where they are wanted
// use and price_per_m or price_per_ft, in any order; then a row for each tube. An empty cell is
// as a key left out. The tubes are read for the barrier d, by whose basis and walls they count.
// What is priced beside tubes, and the currency, are those of d's own stock.
//
// The error is of type Problems: every fault of the list at its line and column.
func ReadStock(name string, data []byte, d *Definition) (*Stock, error) {
	sheet := &stockSheet{
		reader:  &reader{def: &Definition{File: name, Basis: d.Basis, Annex: d.Annex, Units: d.Units, WallBasis: d.WallBasis}},
		locator: &locator{source: strings.TrimPrefix(string(data), "\ufeff"), byPath: map[string]int{}},
	}
	sheet.locator.lines = lineStarts(sheet.locator.source)
	sheet.reader.locator = sheet.locator
	stock := &Stock{}
	if entries := sheet.read(); len(entries) > 0 {
		stock = sheet.stock(entries, d.Stock)
	}
	sheet.nameColumns()
	if err := sheet.sorted(); err != nil {
		return nil, err
	}
	return stock, nil
}

// stockSheet is a stock list on its way from cells to a table such as [stock] has.
type stockSheet struct {
	*reader
	locator *locator
	columns []string // of each column its name; empty for one that is not known
}

// stock reads the entries as the tubes of a stock.
func (s *stockSheet) stock(entries []any, own *Stock) *Stock {
	t := s.open(stockTable, "", map[string]any{"tubes": entries})
	stock := &Stock{Tubes: t.readStockTubes()}
	if own != nil {
		stock.Currency, stock.Fitting, stock.Foot = own.Currency, own.Fitting, own.Foot
	}
	return stock
}

// nameColumns tells problems as those of a list: by the column, and without the notation of TOML.
func (s *stockSheet) nameColumns() {
	for _, p := range s.problems {
		if !strings.HasPrefix(p.Path, "tubes[") {
			continue
		}
		_, p.Path, _ = strings.Cut(p.Path, ".")
		switch {
		case strings.HasPrefix(p.Fix, "add "):
			p.Fix = "put it into its column, such as EN 10255 DN40 medium or S195T"
		case strings.HasPrefix(p.Fix, "write price_"):
			p.Fix = "write a plain number such as 7.20"
		}
	}
}

// read returns a table for each row.
func (s *stockSheet) read() []any {
	source := s.locator.source
	if len(source) > MaxFileSize {
		s.report(nowhere(), "", "the list holds more than "+strconv.Itoa(MaxFileSize>>20)+" MiB", "list the tubes alone")
		return nil
	}
	if at, ok := invalidByte(source); ok {
		s.report(at, "", "this byte is not UTF-8", "save the list as UTF-8")
		return nil
	}
	rows := csv.NewReader(strings.NewReader(source))
	rows.Comment, rows.FieldsPerRecord, rows.TrimLeadingSpace = '#', -1, true
	var entries []any
	for first := true; ; first = false {
		cells, err := rows.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			s.syntax(err)
			return nil
		}
		if first {
			if s.header(rows, cells); s.columns == nil {
				return nil
			}
			continue
		}
		entries = append(entries, s.row(rows, cells, len(entries)))
	}
	switch {
	case s.columns == nil:
		s.report(s.locator.end(), "", "there is nothing in the list", "begin with the header tube,grade,use,price_per_m")
	case len(entries) == 0:
		s.report(s.locator.end(), "", "the list has a header and no tube", "add a row for each tube, such as EN 10255 DN40 medium,S195T,both,7.20")
	}
	return entries
}

// syntax reports what is not CSV.
func (s *stockSheet) syntax(err error) {
	at, what := nowhere(), err.Error()
	if fault, ok := errors.AsType[*csv.ParseError](err); ok {
		from := s.offset(fault.Line, fault.Column)
		at, what = span{from, from}, fault.Err.Error()
	}
	s.report(at, "", "this is not CSV: "+what, `put a cell that holds a comma or a quote in quotes, and write a quote within it twice`)
}

// header reads the names of the columns.
func (s *stockSheet) header(rows *csv.Reader, cells []string) {
	columns := make([]string, len(cells))
	before := len(s.problems)
	if len(cells) == 1 && strings.Contains(cells[0], ";") {
		s.report(s.cell(rows, cells, 0), "", "the cells are parted by semicolons", "part them by commas, and write a price with a point, such as 7.20")
		return
	}
	for i, cell := range cells {
		name := strings.ToLower(strings.TrimSpace(cell))
		switch {
		case !slices.Contains(stockColumns(), name):
			fix := "the columns are " + strings.Join(stockColumns(), ", ")
			if near := nearest.Names(name, stockColumns(), strings.ToLower, 1+len(name)/3, 1); len(near) > 0 {
				fix = "write " + near[0]
			}
			s.report(s.cell(rows, cells, i), "", "unknown column "+quote(cell), fix)
		case slices.Contains(columns, name):
			s.report(s.cell(rows, cells, i), "", "the column "+name+" stands twice", "keep one of them")
		default:
			columns[i] = name
		}
	}
	for _, name := range stockColumns()[:2] {
		if !slices.Contains(columns, name) && len(s.problems) == before {
			s.report(s.cell(rows, cells, 0), "", "the column "+name+" is missing", "begin with the header tube,grade,use,price_per_m")
		}
	}
	if len(s.problems) == before {
		s.columns = columns
	}
}

// row makes a table of a row and keeps the place of each cell under the path that the table's
// keys have.
func (s *stockSheet) row(rows *csv.Reader, cells []string, i int) any {
	entry := map[string]any{}
	path := element("tubes", i)
	whole := s.cell(rows, cells, 0)
	whole.to = s.cell(rows, cells, len(cells)-1).to
	s.put(path, whole)
	for c, cell := range cells {
		at := s.cell(rows, cells, c)
		if c >= len(s.columns) {
			s.report(at, "", "a cell beyond the last column", "put a cell that holds a comma in quotes, or take it out")
			break
		}
		if cell = strings.TrimSpace(cell); cell == "" {
			continue
		}
		entry[s.columns[c]] = cellValue(s.columns[c], cell)
		s.put(join(path, s.columns[c]), at)
	}
	return entry
}

// cellValue is what a cell would be in TOML: a price is a number where it reads as one.
func cellValue(column, cell string) any {
	if v, err := strconv.ParseFloat(cell, 64); (err == nil || errors.Is(err, strconv.ErrRange)) && strings.HasPrefix(column, "price") {
		return max(-math.MaxFloat64, min(v, math.MaxFloat64))
	}
	return cell
}

// put keeps the place of a path.
func (s *stockSheet) put(path string, at span) {
	s.locator.byPath[path] = len(s.locator.places)
	s.locator.places = append(s.locator.places, place{path: path, name: at, value: at})
}

// cell returns where a cell of the last row stands, without the quotes and spaces round it.
func (s *stockSheet) cell(rows *csv.Reader, cells []string, i int) span {
	line, col := rows.FieldPos(i)
	from := s.offset(line, col)
	return span{from, from + len(strings.TrimSpace(cells[i]))}
}

// offset returns the byte at a line and a byte column, both from 1.
func (s *stockSheet) offset(line, col int) int {
	line = min(max(line, 1), len(s.locator.lines))
	return min(s.locator.lines[line-1]+max(col, 1)-1, len(s.locator.source))
}
