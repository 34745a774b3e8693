// What became private is taken out of a published folder before anything else is done
// to it: whoever interrupts the publishing leaves nothing there that is for nobody else.

package render

import (
	"errors"
	"io/fs"
	"os"
	"strings"

	"rakelight/journal"
	"rakelight/journal/disk"
)

// withdraw removes from the folder of a publisher what is not published any more: files
// that nobody is to see, and, where there were any or other things are private than at
// the last publishing, the pages that show another thing than they did, since that may
// be what they are not to tell. s is the journal for readers, and all are its photos; keeps tells
// what is private of the whole.
func (w *Writer) withdraw(out *output, s *journal.State, opts Options, all originals, keeps string, r *Report) error {
	if !Published(out.dir) {
		return journal.WriteFile(w.j.Path(privacyFile(out.dir)), []byte(keeps+"\n"))
	}
	v := viewWith(s, opts, all, nil)
	v.knownPhotos, v.identity, v.tones = w.photos, w.j.Identity(), w.tones
	if v.tones == nil {
		v.tones = readTones(w.j)
	}
	v.frames = map[string]string{}
	for _, p := range v.Photos { // their stills may be there
		if p.Clip() {
			v.setFrame(w.j, p)
		}
	}
	pages := pagesOf(v)
	names := v.sizeFiles()
	for _, m := range append(pages, assets()...) {
		names = append(names, m.path)
	}
	if err := out.clear(out.list(), names, r); err != nil {
		return err
	}
	kept, _ := os.ReadFile(w.j.Path(privacyFile(out.dir)))
	if strings.TrimSpace(string(kept)) == keeps && r.Removed == 0 {
		return nil
	}
	if err := out.removeChanged(w.j, v, pages); err != nil {
		return err
	}
	return journal.WriteFile(w.j.Path(privacyFile(out.dir)), []byte(keeps+"\n"))
}

// removeChanged removes the pages that are not what they were made from.
func (o *output) removeChanged(j *journal.Journal, v *view, pages []making) error {
	t := v.texts()
	known := readManifest(j, o.manifest)
	w := pageWriter{output: o, v: v, known: known}
	o.list()
	for _, m := range pages {
		old, ok := known.Pages[m.path]
		if m.of == nil || !o.known.on[m.path] || ok && old.Of == w.digestOf(m, old.Asked, t).String() {
			continue
		}
		if err := disk.Remove(o.path(m.path)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

// privacyFile keeps, of a published folder, what was private when it was published last,
// as a digest. Without it all pages that changed are taken for such as may tell of it.
func privacyFile(dir string) string {
	return strings.TrimSuffix(publishedFile(dir), ".json") + ".private"
}
