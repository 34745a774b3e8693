// The pages for readers, in a folder of their own.

package render

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"rakelight/journal"
)

// Publish makes a folder hold the pages for readers of a journal: Write, for another
// edition and another place. What was written there before and is private by now is
// removed before anything is written (withdraw).
func Publish(ctx context.Context, j *journal.Journal, dir string, opts Options) (Report, error) {
	return NewPublisher(j, dir).Write(ctx, j.State, opts)
}

// NewPublisher is a Writer of the pages for readers into a folder.
func NewPublisher(j *journal.Journal, dir string) *Writer {
	w := NewWriter(j)
	w.public = dir
	return w
}

// Published reports whether a folder is one that pages were written into.
func Published(dir string) bool {
	info, err := os.Lstat(filepath.Join(dir, listName))
	return err == nil && info.Mode().IsRegular()
}

// publishedFile is the manifest of the pages for readers in a folder. It is no
// neighbor of theirs, since it tells when which page changed.
func publishedFile(dir string) string {
	if abs, err := filepath.Abs(dir); err == nil {
		dir = abs
	}
	sum := sha256.Sum256([]byte(dir))
	return fmt.Sprintf(".cache/published-%x.json", sum[:6])
}

// into makes it an output of pages for readers of s, all of the journal. Pictures that
// lie among the builder's own pages are copied.
func (o *output) into(dir string, s *journal.State) {
	own := &output{dir: o.dir}
	own.list()
	stems := originalsOf(s).stem
	o.dir, o.manifest = dir, publishedFile(dir)
	o.ready = func(p *journal.Photo, name string) bool {
		from := name
		if p != nil {
			from = "photos/" + stems[p.Hash] + widthOf(name)
		}
		if !own.known.on[from] {
			return false // nobody knows whose it is
		}
		data, err := os.ReadFile(own.path(from))
		if err != nil || !isPlainJPEG(data) {
			return false // it is made from the original
		}
		changed, err := o.writeChanged(file{path: name, data: data})
		if changed {
			o.copied.Add(1)
		}
		return err == nil
	}
}

// widthOf is the end of a size's name that tells its width: "-960.jpg".
func widthOf(name string) string {
	if i := strings.LastIndexByte(name, '-'); i >= 0 {
		return name[i:]
	}
	return ""
}

// isPlainJPEG reports whether the bytes are a whole JPEG of ours: picture data and
// tables, no application data but JFIF's, no comment, nothing behind its end.
func isPlainJPEG(data []byte) bool {
	if len(data) < 4 || data[0] != 0xff || data[1] != 0xd8 || !bytes.HasSuffix(data, []byte{0xff, 0xd9}) {
		return false
	}
	for i := 2; i+4 <= len(data); {
		marker := data[i+1]
		size := int(data[i+2])<<8 | int(data[i+3])
		switch {
		case data[i] != 0xff || size < 2 || i+2+size > len(data):
			return false
		case marker == 0xda: // the scan: all that follows is picture
			return bytes.Index(data[i:], []byte{0xff, 0xd9}) == len(data)-2-i
		case marker > 0xe0 && marker <= 0xef, marker == 0xfe:
			return false
		}
		i += 2 + size
	}
	return false
}
