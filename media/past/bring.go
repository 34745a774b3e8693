// Bringing in: the inbox's own way for the pictures that a person chose.

package past

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"

	"rakelight/journal"
	"rakelight/media/inbox"
)

// BringIn takes pictures of the survey into the journal, by their hashes: their bytes
// are copied and stay where they lie, then they are recorded, as rakelight take does
// with files from elsewhere. What was said of them before counts from then on. A
// picture that is kept already, or that a person left out, is passed over, so that a
// run that was interrupted is gone on with. What was changed or moved since it was
// looked at is in Left, and so is what the inbox leaves.
func BringIn(ctx context.Context, j *journal.Journal, opts inbox.Options, hashes []string,
	report func(done, total int, o inbox.Outcome)) (inbox.Summary, error) {
	s, err := Open(j)
	if err != nil {
		return inbox.Summary{}, err
	}
	var files []inbox.File
	var left []inbox.Outcome
	asked := map[string]bool{}
	for _, hash := range hashes {
		p := s.Picture(hash)
		switch {
		case asked[hash]:
		case p == nil:
			left = append(left, inbox.Outcome{Path: hash[:min(8, len(hash))], Status: inbox.SetAside,
				Why: "it is in no folder that was looked through"})
		case p.Kept || p.Out():
		default:
			f, err := p.file(s)
			if err != nil {
				left = append(left, inbox.Outcome{Path: p.Path, Status: inbox.SetAside, Why: err.Error(), Err: err})
				break
			}
			files = append(files, f)
		}
		asked[hash] = true
	}
	opts.Fill = true // what comes was said of before, and the state is folded anew for each batch
	if opts.Batch <= 0 {
		opts.Batch = bringBatch
	}
	sum, err := inbox.New(j, opts).TakeFiles(ctx, files, report)
	sum.Left = append(left, sum.Left...)
	return sum, err
}

// bringBatch is how many pictures are recorded at once: enough that folding does not
// count, few enough that whoever waits sees it go on.
const bringBatch = 16

// goneWhere says what is not there any more: the outermost folder of a file, within
// the one that was looked through, or the file alone.
func goneWhere(root, name string) error {
	gone := ""
	for dir := filepath.Dir(name); dir == root || below(root, dir); dir = filepath.Dir(dir) {
		if _, err := os.Stat(dir); errors.Is(err, fs.ErrNotExist) {
			gone = dir
		}
	}
	if gone == "" {
		return errors.New("it is not there any more")
	}
	return fmt.Errorf("the folder %s is not there any more", gone)
}

// file is where the bytes of the picture lie still as they were read.
func (p *Picture) file(s *Survey) (inbox.File, error) {
	var why error
	for _, name := range p.Paths() {
		info, err := os.Stat(name)
		switch {
		case err != nil && why == nil:
			why = goneWhere(rootOf(s.Roots, name), name)
			if !errors.Is(err, fs.ErrNotExist) {
				why = fmt.Errorf("it cannot be read (%w)", err)
			}
		case err != nil:
		case info.Size() != p.Size || info.ModTime().UnixNano() != s.changed[name]:
			why = errors.New("it changed since it was looked at; look at its folder again")
		default:
			root := rootOf(s.Roots, name)
			return inbox.File{Path: name, Folder: path.Join(filepath.Base(root), folderOf(root, name)),
				Size: info.Size(), Time: info.ModTime()}, nil
		}
	}
	return inbox.File{}, why
}
