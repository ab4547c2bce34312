package report

import (
	"embed"
	"io"
	"slices"
)

// The schemas of what is read and of what is written, JSON Schema draft 2020-12. That of the result is
// made from the types of package check by its test, that of a definition is written by hand.

//go:embed schema/*.json
var schemaFiles embed.FS

// SchemaNames returns the names of the schemas: "result" of the JSON that a check writes, "barrier"
// of a definition as a TOML decoder hands it over.
func SchemaNames() []string { return []string{"result", "barrier"} }

// Schema writes the schema of that name. It panics for one that is none of SchemaNames.
func Schema(w io.Writer, name string) error {
	if !slices.Contains(SchemaNames(), name) {
		panic("report: no schema " + name)
	}
	data, err := schemaFiles.ReadFile("schema/" + name + ".json")
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}
