// This file keeps how far each device had come, apart from the records, so that
// records which vanish at the end of a file, with a file or with a folder are
// missed, and no number is given out twice.
//
// There are two places. One is in the journal, marks/<device>.json, and goes
// along in every copy of it. The other is the person's folder for settings, and
// stays when the whole journal is replaced by an older copy. Each device writes
// its own file, of all devices it has seen. A mark is written after its records
// are durable and never waits for the disk: one that comes too late only says
// less. Both may be missing, as in journals of older versions.

package record

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"

	"rakelight/journal/disk"
)

// marksDir is the folder of the marks in the journal.
const marksDir = "marks"

// Mark is how far a device had come.
type Mark struct {
	Seq int64  `json:"seq"` // its highest number
	Sum string `json:"sum"` // checksum of that record's line
}

// marks reads both places. A file that cannot be read says nothing: it may be
// half written.
func (b *Book) marks() map[string]Mark {
	marks := map[string]Mark{}
	files, err := filepath.Glob(filepath.Join(b.Dir, marksDir, "*.json"))
	if err == nil && b.Outside != "" && b.known() {
		files = append(files, filepath.Join(b.Outside, b.dev+".json"))
	}
	for _, file := range files {
		var read map[string]Mark
		data, err := os.ReadFile(file)
		if err != nil || json.Unmarshal(data, &read) != nil {
			continue
		}
		for dev, m := range read {
			if isDevice(dev) && m.Seq <= maxCount && m.Seq > marks[dev].Seq {
				marks[dev] = m
			}
		}
	}
	return marks
}

// mark writes down how far all devices have come. It follows an append that is
// durable, so a failure is no reason to call the records unwritten.
func (b *Book) mark(marks map[string]Mark) {
	if b.brief != nil {
		for dev, m := range b.brief.Top {
			if isDevice(dev) && m.Seq > marks[dev].Seq {
				marks[dev] = m
			}
		}
	}
	top := map[string]Record{}
	for _, r := range b.Records {
		if isDevice(r.Dev) && r.Seq > max(top[r.Dev].Seq, marks[r.Dev].Seq) {
			top[r.Dev] = r
		}
	}
	for dev, r := range top {
		marks[dev] = Mark{r.Seq, r.Sum()}
	}
	data, err := json.Marshal(marks)
	if err != nil {
		return
	}
	data = []byte(strings.ReplaceAll(string(data), "},", "},\n") + "\n")
	for _, dir := range []string{b.path(marksDir), b.Outside} {
		if dir != "" {
			// A mark that cannot be written only says less.
			_ = WriteQuick(filepath.Join(dir, b.dev+".json"), data)
		}
	}
}

// WriteQuick is WriteFile without waiting for the disk: after a crash the file may
// be whole, empty or torn.
func WriteQuick(path string, data []byte) error {
	dir := filepath.Dir(path)
	if err := disk.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	tmp, err := disk.CreateTemp(dir, leftoverPattern)
	if err != nil {
		return err
	}
	defer disk.Remove(tmp.Name()) // gone already when all went well
	_, err = tmp.Write(data)
	if closed := tmp.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return err
	}
	if err := disk.Chmod(tmp.Name(), 0o644); err != nil {
		return err
	}
	return Rename(tmp.Name(), path)
}
