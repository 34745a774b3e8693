// Headers of clips as recorders wrote them, against other readers.

package media

import (
	"bytes"
	"compress/gzip"
	"encoding/csv"
	"io"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"rakelight/media/clip"
)

// sampleClip is a clip whose samples are zeros.
func sampleClip(t testing.TB, name string) []byte {
	t.Helper()
	f, err := os.Open("testdata/clips/" + name + ".gz")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	data, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestClipsOfRecorders(t *testing.T) {
	f, err := os.Open("testdata/clips.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil || len(rows) < 7 {
		t.Fatal(len(rows), err)
	}
	kept, err := os.ReadDir("testdata/clips")
	if err != nil || len(kept) != len(rows)-1 {
		t.Errorf("%d files, %d rows, %v", len(kept), len(rows)-1, err)
	}
	for _, row := range rows[1:] {
		at := map[string]string{}
		for i, name := range rows[0] {
			at[name] = row[i]
		}
		data := sampleClip(t, at["name"])
		c, err := clip.Read(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			t.Errorf("%s: %v", at["name"], err)
			continue
		}
		header := ""
		if !c.Header.IsZero() {
			header = c.Header.Format(time.DateTime)
		}
		got := []string{header, strconv.FormatInt(c.Length.Milliseconds(), 10), strconv.Itoa(c.Width), strconv.Itoa(c.Height),
			strconv.Itoa(c.Turn), c.Codec, strconv.FormatBool(c.Sound)}
		for i, name := range rows[0][4:] {
			if got[i] != at[name] {
				t.Errorf("%s: %s is %s, want %s", at["name"], name, got[i], at[name])
			}
		}
		facts, err := Read(write(t, at["name"], whole(data)))
		if err != nil || !strings.HasSuffix(at["name"], facts.Kind) || facts.Length != c.Length {
			t.Errorf("%s: %+v, %v", at["name"], facts, err)
		}
	}
}

// whole gives the samples an end that is not only zeros, as no copy that broke off has.
func whole(data []byte) []byte {
	c, err := clip.Read(bytes.NewReader(data), int64(len(data)))
	if err == nil && c.Samples.Size > 0 {
		data[c.Samples.End()-1] = 1
	}
	return data
}
