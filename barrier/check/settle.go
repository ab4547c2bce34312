package check

import (
	"math"
	"reflect"
	"strings"

	"example.com/stanchion/internal/quantity"
)

// printedFigures is how many significant figures a result holds.
const printedFigures = 9

// settle rounds every number of the result to nine significant figures, writes
// what is below 1e-9 of the largest of its kind as 0, and leaves no negative
// zero and no nil list, so that equal inputs give equal bytes on any machine.
func (r *Result) settle() {
	largest := map[string]float64{}
	eachNumber(r, func(unit string, v reflect.Value) { largest[unit] = math.Max(largest[unit], math.Abs(v.Float())) })
	eachNumber(r, func(unit string, v reflect.Value) {
		if math.Abs(v.Float()) < 1e-9*largest[unit] {
			v.SetFloat(0)
		}
	})
	settler{}.settle(reflect.ValueOf(r).Elem())
}

// eachNumber visits every number of the tables with its unit.
func eachNumber(r *Result, f func(unit string, v reflect.Value)) {
	for _, table := range []any{r.Posts, r.Rails, r.Braces, r.BraceFeet, r.Checks, r.Fittings, r.Splices, r.Ends, r.BaseActions, r.Bolts, r.HandChecks, r.Geometry, r.Unchecked, r.LeftOut} {
		rows := reflect.ValueOf(table)
		if rows.Len() == 0 {
			continue
		}
		numbers, own := numbersOf(rows.Type().Elem())
		for i := range rows.Len() {
			row := rows.Index(i)
			for _, n := range numbers {
				unit := n.unit
				if own >= 0 {
					unit = row.Field(own).String()
				}
				f(unit, row.Field(n.field))
			}
		}
	}
}

// number is a field of a row that is a number, and the unit at the end of its name.
type number struct {
	field int
	unit  string
}

// numbersOf returns those of a row, and which field is the row's own unit; -1 for none.
func numbersOf(row reflect.Type) (out []number, own int) {
	own = -1
	for i := range row.NumField() {
		switch f := row.Field(i); {
		case f.Type.Kind() == reflect.Float64:
			name := f.Tag.Get("json")
			out = append(out, number{i, name[strings.LastIndex(name, "_")+1:]})
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
