// Tests that each word of build.md is told, and that what is told is read.

package plan

import (
	"reflect"
	"slices"
	"strings"
	"testing"
)

// wordsOf are the words by which a struct is read.
func wordsOf(of string, v any) []string {
	var words []string
	for i := range reflect.TypeOf(v).NumField() {
		words = append(words, of+" "+reflect.TypeOf(v).Field(i).Tag.Get("yaml"))
	}
	return words
}

func TestEveryBuildWordIsTold(t *testing.T) {
	read := slices.Concat(wordsOf("build", front{}), wordsOf("kit", kitNode{}), wordsOf("runner", runnerNode{}), wordsOf("stage", stageNode{}))
	var told []string
	for _, w := range BuildWords {
		told = append(told, w.Of+" "+w.Word)
		if w.Means == "" || strings.HasSuffix(w.Means, ".") || !strings.HasPrefix(w.Shape, w.Word+":") {
			t.Errorf("%+v", w)
		}
	}
	slices.Sort(read)
	slices.Sort(told)
	if !slices.Equal(read, told) {
		t.Errorf("read: %v\ntold: %v", read, told)
	}
	for _, w := range frontWords {
		if !slices.ContainsFunc(BuildWords, func(b BuildWord) bool { return (b.Of == "runner" || b.Of == "stage") && b.Word == w }) {
			t.Errorf("%s is taken for known, and not told", w)
		}
	}
}

// Each shape is written as it is read: alone in its place it leaves no problem.
func TestBuildShapesAreRead(t *testing.T) {
	around := map[string]string{"build": "%", "kit": "kits: [{%}]", "runner": "runners: [{letter: B, %}]", "stage": "stages: [{kind: clean, %}]"}
	for _, w := range BuildWords {
		shape := strings.ReplaceAll(around[w.Of], "%", w.Shape)
		switch w.Word {
		case "letter":
			shape = "runners: [{" + w.Shape + "}]"
		case "kind":
			shape = "stages: [{" + w.Shape + "}]"
		}
		if _, problems := ParseBuild("lorry", []byte("---\n"+shape+"\n---\n")); len(problems) > 0 {
			t.Errorf("%s: %v", shape, problems)
		}
	}
}

// The example of a journal's README is read without a remark, and sends to the
// whole list.
func TestReadmeAgrees(t *testing.T) {
	_, example, _ := strings.Cut(readme, "A builds/my-build/build.md to copy:\n\n")
	b, problems := ParseBuild("my-build", []byte(example))
	if len(problems) > 0 || len(b.Kits) != 1 || len(b.Kits[0].Runners) != 2 || len(b.Stages) == 0 || len(b.Totals) == 0 {
		t.Errorf("%v: %+v", problems, b)
	}
	for _, words := range []string{"rakelight help build.md", "rakelight build "} {
		if !strings.Contains(readme, words) {
			t.Errorf("README.txt does not name %s", words)
		}
	}
}
