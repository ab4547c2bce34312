package report

import (
	"bytes"
	"cmp"
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/internal/golden"
)

// TestResultSchema makes the schema of the result from the types of package check and the
// comments of their fields, and holds schema/result.json to it; -update writes it. A field without
// a schema, and one whose unit the schema does not tell, therefore cannot be.
func TestResultSchema(t *testing.T) {
	m := schemaMaker{t: t, words: commentsOf(t, "../check"), defs: map[string]any{}}
	root := m.object(reflect.TypeFor[check.Result]())
	schema := object{
		{"$schema", "https://json-schema.org/draft/2020-12/schema"},
		{"$id", "https://example.com/stanchion/schema/result.json"},
		{"title", "the result of stanchion check"},
	}
	schema = append(schema, root...)
	defs := object{}
	for _, name := range m.order {
		defs = append(defs, property{name, m.defs[name]})
	}
	schema = append(schema, property{"$defs", defs})
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	if err := encoder.Encode(schema); err != nil {
		t.Fatal(err)
	}
	golden.Check(t, "schema/result.json", out.Bytes())
}

// object is a JSON object whose members keep their order.
type object []property

type property struct {
	name  string
	value any
}

func (o object) MarshalJSON() ([]byte, error) {
	var out bytes.Buffer
	out.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			out.WriteByte(',')
		}
		var name, value bytes.Buffer
		for _, part := range []struct {
			to *bytes.Buffer
			v  any
		}{{&name, m.name}, {&value, m.value}} {
			encoder := json.NewEncoder(part.to)
			encoder.SetEscapeHTML(false)
			if err := encoder.Encode(part.v); err != nil {
				return nil, err
			}
		}
		out.Write(bytes.TrimSpace(name.Bytes()))
		out.WriteByte(':')
		out.Write(bytes.TrimSpace(value.Bytes()))
	}
	out.WriteByte('}')
	return out.Bytes(), nil
}

// schemaMaker makes the schema of a type and of all that it holds.
type schemaMaker struct {
	t     *testing.T
	words map[string]string // comments by "Type" and "Type.Field"
	defs  map[string]any
	order []string
}

// object is the schema of a struct. Fields may be added to a later version of the program; this
// schema is that of this one, and knows no others.
func (m *schemaMaker) object(of reflect.Type) object {
	properties, required := object{}, []string{}
	for _, f := range reflect.VisibleFields(of) {
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name == "-" || f.Anonymous {
			continue
		}
		owner := of
		if len(f.Index) > 1 {
			owner = of.FieldByIndex(f.Index[:len(f.Index)-1]).Type
		}
		optional := options == "omitempty"
		properties = append(properties, property{name, m.field(owner, f, name, optional)})
		if !optional {
			required = append(required, name)
		}
	}
	return object{{"description", m.words[of.Name()]}, {"type", "object"}, {"additionalProperties", false}, {"required", required}, {"properties", properties}}
}

// field is the schema of one field with what it means.
func (m *schemaMaker) field(owner reflect.Type, f reflect.StructField, name string, optional bool) object {
	words := m.words[owner.Name()+"."+f.Name]
	if words == "" {
		words = spaced(f.Name)
	}
	if name == "utilisation" || strings.HasSuffix(name, "_utilisation") {
		words += ": demand over resistance, null where it has no bound or nothing checked it"
	}
	if unit := unitOf(name); unit != "" {
		words += "; unit " + unit
	}
	out := object{{"description", words}}
	if known := closedWords(owner.Name() + "." + f.Name); known != nil {
		return append(out, property{"enum", known})
	}
	return append(out, m.schema(f.Type, optional)...)
}

// schema is the schema of a value.
func (m *schemaMaker) schema(of reflect.Type, optional bool) object {
	if of == reflect.TypeFor[check.Inputs]() {
		return object{{"type", "object"}, {"additionalProperties", object{{"type", "string"}}}}
	}
	if of == reflect.TypeFor[check.Status]() {
		return object{{"enum", statuses()}}
	}
	switch of.Kind() {
	case reflect.Pointer:
		inner := m.schema(of.Elem(), false)
		switch {
		case optional:
			return inner
		case inner[0].name == "type":
			inner[0].value = []any{inner[0].value, "null"}
			return inner
		}
		return object{{"anyOf", []any{inner, object{{"type", "null"}}}}}
	case reflect.Struct:
		if _, known := m.defs[of.Name()]; !known {
			m.defs[of.Name()] = nil // it may hold itself
			m.order = append(m.order, of.Name())
			m.defs[of.Name()] = m.object(of)
		}
		return object{{"$ref", "#/$defs/" + of.Name()}}
	case reflect.Slice:
		return object{{"type", "array"}, {"items", m.schema(of.Elem(), false)}}
	case reflect.Array:
		return object{{"type", "array"}, {"items", m.schema(of.Elem(), false)}, {"minItems", of.Len()}, {"maxItems", of.Len()}}
	case reflect.String:
		return object{{"type", "string"}}
	case reflect.Bool:
		return object{{"type", "boolean"}}
	case reflect.Int:
		return object{{"type", "integer"}}
	case reflect.Float64:
		return object{{"type", "number"}}
	}
	m.t.Fatalf("no schema for a %v", of)
	return nil
}

func statuses() []check.Status {
	return []check.Status{check.Pass, check.Fail, check.Incomplete, check.Warned, check.Checked, check.Unchecked, check.LeftOut}
}

// closedWords are the values of a field that has no others; nil for one that may have any.
func closedWords(field string) []any {
	ids := func(more ...any) []any {
		for _, id := range check.CheckIDs() {
			more = append(more, id.ID)
		}
		return more
	}
	switch field {
	case "Result.Schema":
		return []any{1}
	case "Result.Basis":
		return []any{"EN", "AISC-LRFD", "AISC-ASD", "AS", "CSA"}
	case "Result.Status":
		return []any{check.Pass, check.Fail, check.Incomplete}
	case "Age.Rate":
		return []any{"low", "middle", "high"}
	case "CheckRow.ID":
		return ids()
	case "CheckRef.ID":
		return ids("")
	case "FittingRow.Tube":
		return []any{"rail", "post", "brace"}
	case "FittingRow.ExtremeOf":
		return []any{"slip", "twist", "force", "moment"}
	case "EndRow.End":
		return []any{"start", "end"}
	case "BaseAction.ExtremeOf":
		return []any{"Mx+", "Mx-", "My+", "My-", "M", "V", "Fz+", "Fz-", "Mz"}
	case "BaseAction.Level":
		return []any{"design", "characteristic", "equilibrium"}
	}
	return nil
}

// unitOf is the unit that the name of a field carries.
func unitOf(name string) string {
	for _, u := range []struct{ ending, unit string }{
		{"_Nm_per_rad", "Nm/rad"}, {"_Nm", "Nm"}, {"_N", "N"}, {"_mm", "mm"}, {"_m", "m"}, {"_deg", "deg"}, {"_Hz", "Hz"},
	} {
		if strings.HasSuffix(name, u.ending) {
			return u.unit
		}
	}
	return ""
}

// spaced makes words of a name: BaseMoment becomes "base moment".
func spaced(name string) string {
	parts := regexp.MustCompile(`[A-Z]+(?:[a-z0-9]+|$)|[A-Z]+`).FindAllString(name, -1)
	for i, part := range parts {
		if strings.ToUpper(part) != part && len(part) > 2 {
			parts[i] = strings.ToLower(part)
		}
	}
	return cmp.Or(strings.Join(parts, " "), name)
}

// commentsOf reads the comments of the structs of a package and of their fields, each on one line.
func commentsOf(t *testing.T, folder string) map[string]string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(folder, "*.go"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no Go files in %s (%v)", folder, err)
	}
	words := map[string]string{}
	line := func(group *ast.CommentGroup) string { return strings.Join(strings.Fields(group.Text()), " ") }
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			decl, ok := n.(*ast.GenDecl)
			if !ok {
				return true
			}
			for _, spec := range decl.Specs {
				typed, ok := spec.(*ast.TypeSpec)
				if !ok {
					continue
				}
				fields, ok := typed.Type.(*ast.StructType)
				if !ok {
					continue
				}
				words[typed.Name.Name] = line(decl.Doc)
				for _, f := range fields.Fields.List {
					for _, id := range f.Names {
						words[typed.Name.Name+"."+id.Name] = cmp.Or(line(f.Doc), line(f.Comment))
					}
				}
			}
			return true
		})
	}
	return words
}

// TestResultSchemaHasEveryField walks the types of a result beside the schema: each field that JSON has is a property
// with a description, which tells the unit where the name carries one.
func TestResultSchemaHasEveryField(t *testing.T) {
	var root map[string]any
	var text bytes.Buffer
	if err := Schema(&text, "result"); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text.Bytes(), &root); err != nil {
		t.Fatal(err)
	}
	seen := map[reflect.Type]bool{}
	var walk func(of reflect.Type, at map[string]any)
	walk = func(of reflect.Type, at map[string]any) {
		for of.Kind() == reflect.Pointer || of.Kind() == reflect.Slice || of.Kind() == reflect.Array {
			of = of.Elem()
		}
		if of.Kind() != reflect.Struct || of == reflect.TypeFor[check.Input]() || seen[of] { // inputs are one object
			return
		}
		seen[of] = true
		properties, _ := at["properties"].(map[string]any)
		for _, f := range reflect.VisibleFields(of) {
			name := jsonName(f)
			if name == "-" || f.Anonymous {
				continue
			}
			described, _ := properties[name].(map[string]any)
			words, _ := described["description"].(string)
			if words == "" {
				t.Errorf("the schema has no %s of %v, or does not say what it is", name, of)
				continue
			}
			if unit := unitOf(name); !strings.HasSuffix(words, unit) {
				t.Errorf("the schema does not say that %s of %v is in %s", name, of, unit)
			}
			inner := f.Type
			for inner.Kind() == reflect.Pointer || inner.Kind() == reflect.Slice || inner.Kind() == reflect.Array {
				inner = inner.Elem()
			}
			defs, _ := root["$defs"].(map[string]any)
			next, _ := defs[inner.Name()].(map[string]any)
			walk(inner, next)
		}
	}
	walk(reflect.TypeFor[check.Result](), root)
	if len(seen) < 30 {
		t.Errorf("%s types were seen, more make a result", strconv.Itoa(len(seen)))
	}
}
