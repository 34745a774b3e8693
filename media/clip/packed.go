// Headers that are packed, as QuickTime wrote them for slow lines (QuickTime File
// Format, "Compressed movie resources").

package clip

import (
	"bytes"
	"compress/zlib"
	"io"

	"rakelight/media/box"
)

// packed reads a movie box that holds another, packed by zlib. What the other holds
// that is read by its place in the file, as pictures are, is left out.
func (r *reader) packed(b box.Box) error {
	plain, ok := r.unpack(b)
	if !ok || r.inPacked {
		return &OtherError{"a header packed in an unknown way"}
	}
	own := *r.clip
	in := &reader{f: bytes.NewReader(plain), size: int64(len(plain)), clip: &own, inPacked: true}
	for _, top := range in.inside(0, in.size) {
		if top.Kind == "moov" && in.picture == nil {
			if err := in.movie(top); err != nil {
				return err
			}
		}
	}
	own.EXIF, own.XMP, own.Covers, own.Stills = r.clip.EXIF, r.clip.XMP, r.clip.Covers, r.clip.Stills
	*r.clip = own
	r.tracks, r.picture, r.length, r.extended = in.tracks, in.picture, in.length, in.extended
	r.defaults, r.furthest, r.days = in.defaults, in.furthest, in.days
	return nil
}

// unpack is the header as it was before, if it is of a size that headers have.
func (r *reader) unpack(b box.Box) (plain []byte, ok bool) {
	how := ""
	for _, in := range r.inside(b.At, b.End()) {
		switch in.Kind {
		case "dcom":
			how = string(r.read(in, 4))
		case "cmvd":
			if how != "zlib" || in.Size < 4 {
				return nil, false
			}
			z, err := zlib.NewReader(io.NewSectionReader(r.f, in.At+4, in.Size-4))
			if err != nil {
				return nil, false
			}
			plain, err = io.ReadAll(io.LimitReader(z, box.MaxBody+1))
			return plain, err == nil && len(plain) <= box.MaxBody
		}
	}
	return nil, false
}
