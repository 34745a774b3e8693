// Every field of every record, one at a time in somebody else's words.

package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// everyBody is one of each kind (TestEveryKindHasStrangeFields).
var everyBody = []journal.Body{
	journal.PhotoBody{}, journal.BesideBody{}, journal.TagBody{}, journal.BeginBody{}, journal.EndBody{}, journal.BreakBody{},
	journal.DoneBody{}, journal.ReopenBody{}, journal.WorkBody{}, journal.CorrectBody{}, journal.PauseBody{}, journal.ResumeBody{},
	journal.FinishBody{}, journal.NoteBody{}, journal.DatedBody{}, journal.ClockBody{}, journal.AsideBody{}, journal.RepairBody{},
	journal.MarkBody{}, journal.VerdictBody{}, journal.PackBody{}, journal.AnswersBody{}, journal.MistakeBody{}, journal.TrialBody{},
	journal.ObserveBody{}, journal.ReviewBody{}, journal.PointsBody{}, journal.AlikeBody{}, journal.SheetBody{}, journal.CardBody{}, journal.RetractBody{},
	journal.LostBody{}, journal.CheckedBody{}, journal.SubBody{}, journal.HoldBody{}, journal.ReleaseBody{}, journal.PrepBody{}, journal.HandsBody{}, journal.MixBody{}, journal.AdditionBody{}, journal.SandingBody{},
	journal.PrivateBody{}, journal.PastBody{},
}

func TestEveryKindHasStrangeFields(t *testing.T) {
	source, err := os.ReadFile(filepath.Join("..", "..", "journal", "kinds.go"))
	if n := strings.Count(string(source), ") RecordKind() string "); err != nil || n != len(everyBody) {
		t.Errorf("%d kinds of records, %d tried, %v", n, len(everyBody), err)
	}
}

// knownWords are what stands in a field while another is a stranger's, by the
// name in the record, so that the record counts for something.
type knownWords map[string]string

// strangeFields writes, of each kind, one record for each text in it, which alone is
// a stranger's. It returns how many.
func (h heard) strangeFields(next func() string, say func(string, map[string]any) string, known knownWords) (n int) {
	h.t.Helper()
	for _, body := range everyBody {
		v := reflect.New(reflect.TypeOf(body)).Elem()
		known.fill(v, "")
		data, err := json.Marshal(v.Interface())
		if err != nil {
			h.t.Fatal(err)
		}
		for i := 0; ; i++ {
			var fields map[string]any
			if err := json.Unmarshal(data, &fields); err != nil {
				h.t.Fatal(err)
			}
			left := i
			if !strange(fields, next, &left) {
				break
			}
			if hash, ok := fields["hash"].(string); ok && hash == known["hash"] {
				fields["hash"] = fmt.Sprintf("%064x", 0x77+n) // else it would be one photo again and again
			}
			say(body.RecordKind(), fields)
			n++
		}
	}
	return n
}

// strange puts a stranger's words in place of text number left, in the order of the
// names, and reports whether there are so many. Times are no words.
func strange(v any, next func() string, left *int) bool {
	put := func(old any, set func(any)) bool {
		text, is := old.(string)
		if !is {
			return strange(old, next, left)
		}
		if _, err := time.Parse(time.RFC3339, text); err == nil {
			return false
		}
		if *left--; *left >= 0 {
			return false
		}
		set(next())
		return true
	}
	switch v := v.(type) {
	case map[string]any:
		names := make([]string, 0, len(v))
		for name := range v {
			names = append(names, name)
		}
		slices.Sort(names)
		for _, name := range names {
			if put(v[name], func(to any) { v[name] = to }) {
				return true
			}
		}
	case []any:
		for i := range v {
			if put(v[i], func(to any) { v[i] = to }) {
				return true
			}
		}
	}
	return false
}

// fill gives every field a value: of lists one, texts what is known by the name.
func (known knownWords) fill(v reflect.Value, name string) {
	switch v.Kind() {
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() {
			v.Set(reflect.ValueOf(faultsBegin.Add(-2 * time.Hour)))
			return
		}
		for i := range v.NumField() {
			tag, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
			if v.Field(i).CanSet() {
				known.fill(v.Field(i), tag)
			}
		}
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		known.fill(v.Elem(), name)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		known.fill(v.Index(0), name)
	case reflect.Map:
		elem := reflect.New(v.Type().Elem()).Elem()
		known.fill(elem, name)
		v.Set(reflect.MakeMap(v.Type()))
		v.SetMapIndex(reflect.ValueOf("build").Convert(v.Type().Key()), elem)
	case reflect.String:
		word := known[name]
		if word == "" {
			word = "glue"
		}
		v.SetString(word)
	case reflect.Bool:
		v.SetBool(name == "counted")
	case reflect.Int, reflect.Int64:
		v.SetInt(map[string]int64{"criterion": 4, "score": 2, "size": 900, "width": 64, "height": 48}[name])
		if v.Int() == 0 {
			v.SetInt(1)
		}
	case reflect.Float64:
		v.SetFloat(20)
	}
}
