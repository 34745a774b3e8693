// Package codec decodes HEIC and AVIF pictures in a sandbox: the decoders are
// C libraries compiled to WebAssembly, run without cgo, without any library of
// the host, and without a file system, clock or network to reach.
//
// Start with Decode. Every call has a fresh instance with a limit on its
// memory, so that a hostile picture can break nothing but its own instance.
// How many are decoded at once is the caller's to bound, by Limits.Expected.
// Metadata is none of this package's business, and pixels of HEIC and AVIF come
// back upright.
//
// A decoder that can be stopped halfway takes four times as long on every good
// picture (measured: 20.8 s for 5.1 s at 24 megapixels). So none is stopped: the
// caller ends its waiting after Limits.Budget, and a stuck one holds one core and
// at most Limits.Memory.
package codec

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"runtime"
	"time"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"
	"github.com/tetratelabs/wazero/imports/wasi_snapshot_preview1"
)

// Errors callers tell apart.
var (
	ErrLeftOut = errors.New("this rakelight was built without the decoder")
	ErrDamaged = errors.New("the decoder found no picture in it")
	ErrTooBig  = errors.New("the picture is larger than its header says")
	ErrMemory  = errors.New("a picture of its size needs more memory than is safe to give")
)

// Limits bound one decoding.
type Limits struct {
	Pixels int    // in all; a picture that turns out larger is refused
	Memory uint64 // bytes of the instance
	Deep   bool   // its header says that it has more than 8 bits a channel
}

// MaxMemory is the most an instance may have. Together with the planes copied
// out of it and the file itself a picture stays below 512 MiB.
const MaxMemory = 448 << 20

// For returns the limits for a picture whose header claims so many pixels.
// Measured: 6 bytes a pixel for 8-bit HEIC and 14 for 10 and 12 bits, so that
// MaxMemory is enough for 62 and for 29 megapixels; 29 for 8-bit AVIF, enough for
// 15, besides 12 MB of the decoder's own. AVIF is no camera's format.
func For(pixels int) Limits {
	n := uint64(max(pixels, 0))
	return Limits{Pixels: pixels, Memory: min(64<<20+32*n, MaxMemory)}
}

// Budget is how much of a processor's time a picture may take. The slowest real
// file took 12 s at 25 megapixels beside other work, half a second a megapixel;
// four times that, for a slower computer, and 20 s to begin.
func (l Limits) Budget() time.Duration {
	return 20*time.Second + time.Duration(max(l.Pixels, 0))*2*time.Microsecond
}

// Decode returns the pixels of a picture of kind "heic" or "avif", upright.
// data is the whole file. The picture shares no memory with the decoder. Errors
// are those above. Safe for concurrent use.
func Decode(kind string, data []byte, l Limits) (image.Image, error) {
	switch kind {
	case "heic":
		return decodeHEIC(data, l)
	case "avif":
		return decodeAVIF(data, l)
	}
	return nil, fmt.Errorf("no decoder for %s", kind)
}

// program is a compiled decoder.
type program struct {
	runtime  wazero.Runtime
	compiled wazero.CompiledModule
}

// compile prepares a decoder; it takes a few tenths of a second, once.
func compile(packed []byte) (*program, error) {
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, err
	}
	code, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	ctx := context.Background()
	p := &program{runtime: wazero.NewRuntime(ctx)}
	if p.compiled, err = p.runtime.CompileModule(ctx, code); err != nil {
		return nil, err
	}
	if _, err := wasi_snapshot_preview1.Instantiate(ctx, p.runtime); err != nil {
		return nil, err
	}
	return p, nil
}

// arena is the memory of one instance.
type arena struct {
	buf   []byte
	limit uint64
	size  *uint64 // high-water mark, for the tests
}

func (a *arena) Reallocate(size uint64) []byte {
	if size > a.limit {
		return nil
	}
	// The old and the new lie beside each other for a moment.
	if size > uint64(cap(a.buf)) && uint64(cap(a.buf))+size > a.limit+64<<20 {
		return nil
	}
	if size > uint64(cap(a.buf)) {
		// A quarter of air: doubling would ask for far more than is used.
		bigger := make([]byte, size, min(size+size/4, a.limit))
		copy(bigger, a.buf)
		a.buf = bigger
	}
	a.buf = a.buf[:size]
	*a.size = max(*a.size, size)
	return a.buf
}

func (a *arena) Free() { a.buf = nil }

// instance is one run of a decoder.
type instance struct {
	ctx    context.Context
	mod    api.Module
	decode api.Function
	malloc api.Function
	used   uint64 // most bytes of memory it had
}

func (p *program) start(l Limits, expected uint64) (*instance, error) {
	if expected > l.Memory {
		return nil, ErrMemory // before any of it is asked for
	}
	if expected > 64<<20 {
		// What the last picture left behind goes first: two of them beside each
		// other are what no budget allows. It takes milliseconds, the decoding
		// seconds.
		runtime.GC()
	}
	in := &instance{}
	in.ctx = experimental.WithMemoryAllocator(context.Background(),
		experimental.MemoryAllocatorFunc(func(_, _ uint64) experimental.LinearMemory {
			// Room for what is expected at once: growing step by step would hold
			// the old and the new memory beside each other.
			return &arena{limit: l.Memory, size: &in.used, buf: make([]byte, 0, expected)}
		}))
	// No standard output or error: what the libraries print is not for people.
	mod, err := p.runtime.InstantiateModule(in.ctx, p.compiled, wazero.NewModuleConfig().WithName(""))
	if err != nil {
		return nil, stopped(err)
	}
	in.mod, in.decode, in.malloc = mod, mod.ExportedFunction("decode"), mod.ExportedFunction("malloc")
	if in.decode == nil || in.malloc == nil {
		return nil, errors.New("the decoder is not the one expected")
	}
	return in, nil
}

func (in *instance) close() { in.mod.Close(context.Background()) }

// stopped words an error of a run.
func stopped(err error) error {
	return fmt.Errorf("%w (%v)", ErrDamaged, firstLine(err))
}

func firstLine(err error) string {
	text, _, _ := bytes.Cut([]byte(err.Error()), []byte("\n"))
	return string(text)
}

// alloc asks the instance for memory.
func (in *instance) alloc(n uint64) (uint64, error) {
	if n > 1<<31 {
		return 0, ErrTooBig
	}
	res, err := in.malloc.Call(in.ctx, n)
	if err != nil {
		return 0, stopped(err)
	}
	if res[0] == 0 {
		return 0, fmt.Errorf("%w (it needs more memory than is allowed)", ErrDamaged)
	}
	return res[0], nil
}

// put copies bytes into the instance.
func (in *instance) put(data []byte) (uint64, error) {
	at, err := in.alloc(uint64(len(data)))
	if err != nil {
		return 0, err
	}
	if !in.mod.Memory().Write(uint32(at), data) {
		return 0, ErrDamaged
	}
	return at, nil
}

// take copies bytes out of the instance.
func (in *instance) take(at, n uint64) ([]byte, error) {
	view, ok := in.mod.Memory().Read(uint32(at), uint32(n))
	if !ok {
		return nil, ErrDamaged
	}
	return bytes.Clone(view), nil
}

// Expected is the memory an instance takes for a picture of the size in a file
// of so many bytes. One that lies about its depth takes more, and the memory
// grows.
func (l Limits) Expected(kind string, size int64) uint64 {
	each := uint64(7)
	switch {
	case kind == "heic" && l.Deep:
		each = 15
	case kind == "avif" && l.Deep:
		each = 40
	case kind == "avif":
		each = 29
	}
	return uint64(max(size, 0)) + each*uint64(max(l.Pixels, 0)) + 4<<20
}

// numbers reads 32-bit numbers the decoder wrote.
func (in *instance) numbers(at uint64, out ...*uint32) error {
	for i, n := range out {
		v, ok := in.mod.Memory().ReadUint32Le(uint32(at) + 4*uint32(i))
		if !ok {
			return ErrDamaged
		}
		*n = v
	}
	return nil
}

// call runs the decoder, which returns 0 when it fails.
func (in *instance) call(args ...uint64) error {
	res, err := in.decode.Call(in.ctx, args...)
	if err != nil {
		return stopped(err)
	}
	if len(res) == 0 || res[0] == 0 {
		return ErrDamaged
	}
	return nil
}

// fits reports whether a size is one to go on with.
func (l Limits) fits(width, height uint32) error {
	if width == 0 || height == 0 {
		return ErrDamaged
	}
	if uint64(width)*uint64(height) > uint64(max(l.Pixels, 0)) {
		return ErrTooBig
	}
	return nil
}
