package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"reflect"
	"strconv"
	"strings"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/quantity"
)

// JSON writes the result as one JSON document with a line end: the fields of
// check.Result in their order, indented by two spaces, numbers in the units that
// their names carry with 9 significant digits and no negative zero, a list that
// is empty as [], the inputs as one object in file order. It fails on a number
// that JSON cannot hold (NaN, infinity) and writes nothing then.
func JSON(w io.Writer, r *check.Result) error {
	return writeJSON(w, r)
}

// JSONRows writes a slice of rows, each a struct with json tags, by the same
// rules as JSON.
func JSONRows(w io.Writer, rows any) error {
	return writeJSON(w, rows)
}

func writeJSON(w io.Writer, v any) error {
	var e jsonWriter
	if err := e.value(reflect.ValueOf(v), ""); err != nil {
		return fmt.Errorf("writing JSON: %w", err)
	}
	e.out.WriteByte('\n')
	_, err := w.Write(e.out.Bytes())
	return err
}

// jsonWriter collects a document. The standard encoder prints all digits of a
// number and null for an empty list, so the document is written here.
type jsonWriter struct{ out bytes.Buffer }

func (e *jsonWriter) value(v reflect.Value, indent string) error {
	if own, ok := v.Interface().(json.Marshaler); ok {
		return e.own(own, indent)
	}
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			e.out.WriteString("null")
			return nil
		}
		return e.value(v.Elem(), indent)
	case reflect.Struct:
		return e.object(v, indent)
	case reflect.Slice:
		return e.list(v, indent)
	case reflect.String:
		return e.text(v.String())
	case reflect.Bool:
		e.out.WriteString(strconv.FormatBool(v.Bool()))
		return nil
	case reflect.Int:
		e.out.WriteString(strconv.FormatInt(v.Int(), 10))
		return nil
	case reflect.Float64:
		return e.number(v.Float())
	}
	panic("report: no JSON for a " + v.Type().String())
}

func (e *jsonWriter) object(v reflect.Value, indent string) error {
	inner := indent + "  "
	first := true
	for i := range v.NumField() {
		name, options, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
		if name == "" {
			panic("report: no json name for " + v.Type().String() + "." + v.Type().Field(i).Name)
		}
		field := v.Field(i)
		if name == "-" || options == "omitempty" && isEmpty(field) {
			continue
		}
		e.open('{', &first, inner)
		if err := e.text(name); err != nil {
			return err
		}
		e.out.WriteString(": ")
		if err := e.value(field, inner); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	e.close('{', '}', first, indent)
	return nil
}

// list writes numbers on one line and anything else on lines of its own.
func (e *jsonWriter) list(v reflect.Value, indent string) error {
	item := v.Type().Elem()
	if item.Kind() == reflect.Pointer {
		item = item.Elem()
	}
	if item.Kind() == reflect.Float64 {
		e.out.WriteByte('[')
		for i := range v.Len() {
			if i > 0 {
				e.out.WriteString(", ")
			}
			if err := e.value(v.Index(i), indent); err != nil {
				return err
			}
		}
		e.out.WriteByte(']')
		return nil
	}
	inner := indent + "  "
	first := true
	for i := range v.Len() {
		e.open('[', &first, inner)
		if err := e.value(v.Index(i), inner); err != nil {
			return fmt.Errorf("%d: %w", i, err)
		}
	}
	e.close('[', ']', first, indent)
	return nil
}

// own writes a value that knows its own JSON, in this document's layout.
func (e *jsonWriter) own(v json.Marshaler, indent string) error {
	data, err := v.MarshalJSON()
	if err != nil {
		return err
	}
	return json.Indent(&e.out, data, indent, "  ")
}

// open starts the next item of an object or a list, and the object or list
// itself with its first.
func (e *jsonWriter) open(bracket byte, first *bool, inner string) {
	if *first {
		e.out.WriteByte(bracket)
	} else {
		e.out.WriteByte(',')
	}
	*first = false
	e.out.WriteString("\n" + inner)
}

func (e *jsonWriter) close(left, right byte, empty bool, indent string) {
	if empty {
		e.out.WriteByte(left)
	} else {
		e.out.WriteString("\n" + indent)
	}
	e.out.WriteByte(right)
}

func (e *jsonWriter) text(s string) error {
	encoder := json.NewEncoder(&e.out)
	encoder.SetEscapeHTML(false) // "<" and "&" stay readable
	if err := encoder.Encode(s); err != nil {
		return err
	}
	e.out.Truncate(e.out.Len() - 1) // the encoder's line end
	return nil
}

func (e *jsonWriter) number(v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return fmt.Errorf("%v is no JSON number", v)
	}
	encoded, err := json.Marshal(quantity.Figures(v, 9))
	if err != nil {
		return err
	}
	e.out.Write(encoded)
	return nil
}

func isEmpty(v reflect.Value) bool {
	if v.Kind() == reflect.Slice {
		return v.Len() == 0
	}
	return v.IsZero()
}
