package check

import (
	"math"
	"reflect"
	"slices"
	"strings"

	"example.com/stanchion/internal/quantity"
)

// printedFigures is how many significant figures a result holds.
const printedFigures = 9

// settle rounds every number of the result to nine significant figures, writes
// what is below 1e-9 of the largest of its kind as 0, and leaves no negative
// zero and no nil list, so that equal inputs give equal bytes on any machine.
func (r *Result) settle() {
	numbers := r.numbers()
	for _, n := range numbers {
		*n.largest = math.Max(*n.largest, math.Abs(n.Float()))
	}
	for _, n := range numbers {
		if math.Abs(n.Float()) < 1e-9**n.largest {
			n.SetFloat(0)
		}
	}
	settler{}.settle(reflect.ValueOf(r).Elem())
}

// number is one of a table, with the place for the largest of its unit.
type number struct {
	reflect.Value
	largest *float64
}

// numbers returns those of the tables.
func (r *Result) numbers() (out []number) {
	places := scales{}
	for _, table := range []any{r.Posts, r.Rails, r.Braces, r.BraceFeet, r.Checks, r.Fittings, r.Splices, r.Ends, r.BaseActions, r.Bolts, r.HandChecks, r.Geometry, r.Unchecked, r.LeftOut} {
		rows := reflect.ValueOf(table)
		if rows.Len() == 0 {
			continue
		}
		fields, own := numberFields(rows.Type().Elem(), places)
		out = slices.Grow(out, len(fields)*rows.Len())
		for i := range rows.Len() {
			row := rows.Index(i)
			for _, f := range fields {
				if own >= 0 {
					f.largest = places.of(row.Field(own).String())
				}
				out = append(out, number{row.Field(f.index), f.largest})
			}
		}
	}
	return out
}

// scales are the largest numbers by unit.
type scales map[string]*float64

// of returns the place for that of a unit.
func (s scales) of(unit string) *float64 {
	if s[unit] == nil {
		s[unit] = new(float64)
	}
	return s[unit]
}

// numberField is a field of a row that is a number, the unit at the end of its name.
type numberField struct {
	index   int
	largest *float64
}

// numberFields returns those of a row, and which field is the row's own unit; -1 for none.
func numberFields(row reflect.Type, places scales) (out []numberField, own int) {
	own = -1
	for i := range row.NumField() {
		switch f := row.Field(i); {
		case f.Type.Kind() == reflect.Float64:
			name := f.Tag.Get("json")
			out = append(out, numberField{i, places.of(name[strings.LastIndex(name, "_")+1:])})
		case f.Name == "Unit":
			own = i
		}
	}
	return out, own
}

// settler settles values. Of each struct it keeps which fields hold a number or a list.
type settler map[reflect.Type][]int

func (s settler) settle(v reflect.Value) {
	switch v.Kind() {
	case reflect.Float64:
		v.SetFloat(quantity.Figures(v.Float(), printedFigures))
	case reflect.Pointer:
		if !v.IsNil() {
			fresh := reflect.New(v.Type().Elem()) // rows may share a pointer
			fresh.Elem().Set(v.Elem())
			s.settle(fresh.Elem())
			v.Set(fresh)
		}
	case reflect.Struct:
		for _, i := range s.fields(v.Type()) {
			s.settle(v.Field(i))
		}
	case reflect.Array:
		s.settleEach(v)
	case reflect.Slice:
		if v.IsNil() && v.Type() != reflect.TypeFor[Inputs]() {
			v.Set(reflect.MakeSlice(v.Type(), 0, 0))
		}
		s.settleEach(v)
	}
}

// settleEach settles the elements of a list.
func (s settler) settleEach(list reflect.Value) {
	if !s.holds(list.Type().Elem()) {
		return
	}
	for i := range list.Len() {
		s.settle(list.Index(i))
	}
}

// fields returns those of a struct that hold a number or a list.
func (s settler) fields(of reflect.Type) []int {
	if kept, known := s[of]; known {
		return kept
	}
	var kept []int
	for i := range of.NumField() {
		if s.holds(of.Field(i).Type) {
			kept = append(kept, i)
		}
	}
	s[of] = kept
	return kept
}

// holds reports whether values of a type hold a number or a list, or point to one that may.
func (s settler) holds(of reflect.Type) bool {
	switch of.Kind() {
	case reflect.Float64, reflect.Pointer, reflect.Slice:
		return true
	case reflect.Array:
		return s.holds(of.Elem())
	case reflect.Struct:
		return len(s.fields(of)) > 0
	}
	return false
}
