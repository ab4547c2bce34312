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
// that JSON cannot hold (NaN, infinity) and writes nothing then. A long document is written
// as it is made, and not held whole.
func JSON(w io.Writer, r *check.Result) error {
	return writeJSON(w, r)
}

// JSONLine writes a struct with json tags, which may hold a result, by the same rules as JSON but on
// one line without spaces between its values.
func JSONLine(w io.Writer, line any) error {
	return (&jsonWriter{to: w, compact: true}).document(line)
}

// JSONRows writes a slice of rows, each a struct with json tags, by the same
// rules as JSON.
func JSONRows(w io.Writer, rows any) error {
	return writeJSON(w, rows)
}

func writeJSON(w io.Writer, v any) error { return (&jsonWriter{to: w}).document(v) }

// jsonWriter writes a document. The standard encoder prints all digits of a
// number and null for an empty list, so the document is written here.
type jsonWriter struct {
	to      io.Writer
	compact bool         // on one line
	out     bytes.Buffer // what is not written yet
	whole   any          // the document
	begun   bool         // some of it is written
	failed  error        // of to
	types   map[reflect.Type]*jsonType
}

// jsonType is what the writer knows of a type.
type jsonType struct {
	own    bool // it knows its own JSON
	fields []jsonField
}

// jsonField is a field of a struct.
type jsonField struct {
	index     []int
	name      string
	omitEmpty bool
}

// typeOf returns what is known of a type.
func (e *jsonWriter) typeOf(t reflect.Type) *jsonType {
	if known, ok := e.types[t]; ok {
		return known
	}
	known := &jsonType{own: t.Implements(reflect.TypeFor[json.Marshaler]())}
	if t.Kind() == reflect.Struct && !known.own {
		for _, f := range reflect.VisibleFields(t) {
			name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
			switch {
			case name == "" && f.Anonymous: // its fields stand for themselves
			case name == "":
				panic("report: no json name for " + t.String() + "." + f.Name)
			case name != "-":
				known.fields = append(known.fields, jsonField{f.Index, name, options == "omitempty"})
			}
		}
	}
	if e.types == nil {
		e.types = map[reflect.Type]*jsonType{}
	}
	e.types[t] = known
	return known
}

// mostHeld is how much of a document is held, bytes, before it begins to be written.
const mostHeld = 1 << 20

func (e *jsonWriter) document(v any) error {
	e.whole = v
	if err := e.value(reflect.ValueOf(v), ""); err != nil {
		if e.failed != nil {
			return e.failed
		}
		return fmt.Errorf("writing JSON: %w", err)
	}
	e.out.WriteByte('\n')
	_, err := e.to.Write(e.out.Bytes())
	return err
}

// release writes what is held, where that is much. Before the first of it the whole document is
// gone through once, so that one that fails is not begun.
func (e *jsonWriter) release() error {
	if e.out.Len() < mostHeld {
		return nil
	}
	if !e.begun {
		trial := jsonWriter{to: io.Discard, compact: true, begun: true}
		if err := trial.value(reflect.ValueOf(e.whole), ""); err != nil {
			return err
		}
		e.begun = true
	}
	_, e.failed = e.to.Write(e.out.Bytes())
	e.out.Reset()
	return e.failed
}

func (e *jsonWriter) value(v reflect.Value, indent string) error {
	kind := v.Kind()
	if kind != reflect.Float64 && kind != reflect.String && e.typeOf(v.Type()).own {
		return e.own(v.Interface().(json.Marshaler), indent)
	}
	switch kind {
	case reflect.Pointer:
		if v.IsNil() {
			e.out.WriteString("null")
			return nil
		}
		return e.value(v.Elem(), indent)
	case reflect.Struct:
		return e.object(v, indent)
	case reflect.Slice, reflect.Array:
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
	for _, f := range e.typeOf(v.Type()).fields {
		field := v.FieldByIndex(f.index)
		if f.omitEmpty && isEmpty(field) {
			continue
		}
		e.open('{', &first, inner)
		if err := e.text(f.name); err != nil {
			return err
		}
		e.out.WriteString(e.colon())
		if err := e.value(field, inner); err != nil {
			return fmt.Errorf("%s: %w", f.name, err)
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
				e.out.WriteString(e.comma())
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
		if err := e.release(); err != nil {
			return err
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
	if e.compact {
		return json.Compact(&e.out, data)
	}
	return json.Indent(&e.out, data, indent, "  ")
}

// colon returns what stands between a name and its value.
func (e *jsonWriter) colon() string {
	if e.compact {
		return ":"
	}
	return ": "
}

// comma returns what stands between numbers on a line.
func (e *jsonWriter) comma() string {
	if e.compact {
		return ","
	}
	return ", "
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
	if !e.compact {
		e.out.WriteByte('\n')
		e.out.WriteString(inner)
	}
}

func (e *jsonWriter) close(left, right byte, empty bool, indent string) {
	if empty {
		e.out.WriteByte(left)
	} else if !e.compact {
		e.out.WriteString("\n" + indent)
	}
	e.out.WriteByte(right)
}

func (e *jsonWriter) text(s string) error {
	if isPlain(s) {
		e.out.WriteByte('"')
		e.out.WriteString(s)
		e.out.WriteByte('"')
		return nil
	}
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
	if v == 0 {
		e.out.WriteByte('0')
		return nil
	}
	encoded, err := json.Marshal(quantity.Figures(v, 9))
	if err != nil {
		return err
	}
	e.out.Write(encoded)
	return nil
}

// isPlain reports whether a text stands in quotes as it is.
func isPlain(s string) bool {
	for i := range len(s) {
		if c := s[i]; c < ' ' || c >= 0x7f || c == '"' || c == '\\' {
			return false
		}
	}
	return true
}

func isEmpty(v reflect.Value) bool {
	if v.Kind() == reflect.Slice {
		return v.Len() == 0
	}
	return v.IsZero()
}
