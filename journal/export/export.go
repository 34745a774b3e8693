// Package export writes what is so in a journal as JSON and CSV, for other programs and
// for the time after this one. Start with Write; Help tells every field of every table.
//
// Each table is two files: NAME.json, an array with one object a line, and NAME.csv, with
// a line of names first. In both a field has the same name and the same meaning for ever;
// later versions may add fields and tables. Rows stand in the order of the state, so the
// same journal gives the same bytes. What is not known or does not apply is absent in
// JSON and empty in CSV. A field of CSV that holds a list or an object is JSON itself.
package export

import (
	"bufio"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"

	"rakelight/journal"
	"rakelight/journal/plan"
	"rakelight/journal/record"
)

// Format is the version of the tables. It goes up when a field changes its meaning,
// which it does not.
const Format = 1

// Write writes all tables of a state into dir, which must be new or empty; an AskError
// says why it cannot be. They stand there all or none. Rows are made, written and let go
// one by one.
func Write(s *journal.State, dir string) (rows map[string]int, err error) {
	dir, err = filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	if err := mayWriteTo(dir); err != nil {
		return nil, err
	}
	tmp, err := os.MkdirTemp(filepath.Dir(dir), ".rakelight-export-*")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(tmp) // gone already when all went well
	rows = map[string]int{}
	for _, t := range Tables {
		if rows[t.Name], err = t.write(s, tmp); err != nil {
			return nil, fmt.Errorf("%s: %w", t.Name, err)
		}
	}
	if err := record.WriteFile(filepath.Join(tmp, "README.txt"), []byte(Help())); err != nil {
		return nil, err
	}
	if err := os.Chmod(tmp, 0o755); err != nil {
		return nil, err
	}
	if err := os.Remove(dir); err != nil && !errors.Is(err, fs.ErrNotExist) { // an empty one
		return nil, err
	}
	if err := record.Rename(tmp, dir); err != nil {
		return nil, err
	}
	return rows, record.SyncDir(filepath.Dir(dir))
}

func mayWriteTo(dir string) error {
	refuse := func(hint, format string, args ...any) error {
		return &journal.AskError{What: fmt.Sprintf(format, args...) + "; nothing was written", Hint: hint}
	}
	const another = "name a new folder, or an empty one"
	entries, err := os.ReadDir(dir)
	switch info, statErr := os.Stat(dir); {
	case statErr == nil && !info.IsDir():
		return refuse(another, "%s is a file", dir)
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return err
	case len(entries) > 0:
		return refuse(another, "%s is not empty", dir)
	}
	if _, err := os.Stat(filepath.Dir(dir)); err != nil {
		return refuse("make the folder first, or name another", "there is no folder %s", filepath.Dir(dir))
	}
	if name, err := plan.KeptFolder(dir); err != nil {
		return err
	} else if name != "" {
		return refuse("name a folder outside of it", "%s lies in the folder %s of a journal", dir, name)
	}
	return nil
}

// Table is one kind of rows.
type Table struct {
	Name  string
	About string // what a row is
	row   reflect.Type
	each  func(s *journal.State, yield func(row any) error) error
}

// of is a table of rows that are made one by one.
func of[R any](name, about string, each func(s *journal.State, yield func(R) error) error) Table {
	return Table{name, about, reflect.TypeFor[R](), func(s *journal.State, yield func(any) error) error {
		return each(s, func(r R) error { return yield(r) })
	}}
}

// list is of, where each of the state's values gives one row.
func list[V, R any](name, about string, all func(*journal.State) []V, row func(V) R) Table {
	return of(name, about, func(s *journal.State, yield func(R) error) error {
		for _, v := range all(s) {
			if err := yield(row(v)); err != nil {
				return err
			}
		}
		return nil
	})
}

// Fields are the names of the fields of a row, in their order, and what each means.
func (t Table) Fields() (fields [][2]string) {
	for i := range t.row.NumField() {
		f := t.row.Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		fields = append(fields, [2]string{name, f.Tag.Get("doc")})
	}
	return fields
}

// write writes both files of a table and returns how many rows there are.
func (t Table) write(s *journal.State, dir string) (rows int, err error) {
	asJSON, err := create(filepath.Join(dir, t.Name+".json"))
	if err != nil {
		return 0, err
	}
	asCSV, err := create(filepath.Join(dir, t.Name+".csv"))
	if err != nil {
		return 0, errors.Join(err, asJSON.close())
	}
	lines := csv.NewWriter(asCSV)
	var head []string
	for _, f := range t.Fields() {
		head = append(head, f[0])
	}
	err = lines.Write(head)
	if err == nil {
		_, err = asJSON.WriteString("[")
	}
	if err == nil {
		err = t.each(s, func(row any) error {
			comma := ",\n"
			if rows++; rows == 1 {
				comma = "\n"
			}
			line, err := compact(row)
			if err != nil {
				return err
			}
			cells, err := cellsOf(reflect.ValueOf(row))
			if err != nil {
				return err
			}
			_, err = asJSON.WriteString(comma + line)
			return errors.Join(err, lines.Write(cells))
		})
	}
	if err == nil {
		_, err = asJSON.WriteString("\n]\n")
	}
	lines.Flush()
	return rows, errors.Join(err, lines.Error(), asJSON.close(), asCSV.close())
}

// out is a file that is written in blocks and synced in the end.
type out struct {
	*bufio.Writer
	f *os.File
}

func create(path string) (*out, error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return nil, err
	}
	return &out{bufio.NewWriter(f), f}, nil
}

func (o *out) close() error { return errors.Join(o.Flush(), o.f.Sync(), o.f.Close()) }

var _ io.Writer = (*out)(nil)

func compact(v any) (string, error) {
	var b strings.Builder
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	err := enc.Encode(v)
	return strings.TrimSuffix(b.String(), "\n"), err
}

// cellsOf are the fields of a row as CSV has them: text as it is, all else as JSON, and
// nothing where JSON leaves the field out.
func cellsOf(row reflect.Value) ([]string, error) {
	cells := make([]string, row.NumField())
	for i := range cells {
		f, tag := row.Field(i), row.Type().Field(i).Tag.Get("json")
		if f.IsZero() && strings.Contains(tag, ",omit") || f.Kind() == reflect.Map && f.Len() == 0 ||
			f.Kind() == reflect.Slice && f.Len() == 0 {
			continue
		}
		if f.Kind() == reflect.String {
			cells[i] = f.String()
			continue
		}
		text, err := compact(f.Interface())
		if err != nil {
			return nil, err
		}
		if _, timed := f.Interface().(interface{ IsZero() bool }); timed {
			text = strings.Trim(text, `"`) // a moment
		}
		cells[i] = text
	}
	return cells, nil
}

// Help tells all tables and their fields.
func Help() string {
	var b strings.Builder
	b.WriteString(`This folder was written by rakelight export: what is so in a journal, as tables.
It holds everything, also what no page ever shows: serial numbers of cameras, notes,
names of judges, builds that are kept private. It is for you, not for publishing.

Each table is NAME.json, an array with one object a line, and NAME.csv, whose first line
names the fields. Both hold the same. Moments are RFC 3339 with the offset of the place,
days YYYY-MM-DD, lengths of time seconds. What is not known or does not apply is absent in
JSON and empty in CSV. A field of CSV that holds a list or an object is JSON itself. A
part is {kit, runner, number, count}; the kit is absent in a build with one. Text is as it
was typed: a spreadsheet may take a field that begins with = for a formula. The pictures
lie in the journal's folder photos, under the names in the field path.
`)
	for _, t := range Tables {
		fmt.Fprintf(&b, "\n%s: %s\n", t.Name, t.About)
		for _, f := range t.Fields() {
			fmt.Fprintf(&b, "  %-12s %s\n", f[0], f[1])
		}
	}
	return b.String()
}
