package mesh

import (
	"bufio"
	"bytes"
	"errors"
	"html"
	"io"
)

// Bounds of an XML file. Real model files stay far below each.
const (
	maxXMLTag    = 64 << 10 // bytes of one tag
	maxXMLNested = 256      // elements within elements
	maxXMLNames  = 128      // name spaces declared at a place
)

// Faults of XML, which the caller puts beside the file's name.
var (
	errXMLForm = errors.New("the XML is not well formed")
	errXMLSize = errors.New("a tag is too long, or tags are nested too deep")
)

// tagReader reads the tags of an XML file one by one and holds nothing else:
// what a model file carries beside its mesh can't fill the memory. Text between
// tags isn't used by what is read here. A document type, which could define
// entities, is refused.
type tagReader struct {
	src   *bufio.Reader
	long  []byte    // a tag with ">" in a value, put together
	open  []byte    // names of the open elements, one after the other
	ends  []int     // where each of them ends in open
	bound []binding // name spaces in force

	closing bool // the last tag ended its element too

	space string // of the tag
	name  []byte // of the tag, without its prefix; until the next tag
	attrs []xmlAttr
}

// binding is a name space that is in force within the depth-th element.
type binding struct {
	prefix, space string
	depth         int
}

// xmlAttr is an attribute, valid until the next tag.
type xmlAttr struct{ prefix, name, value []byte }

// text returns the value with its entities replaced.
func (a xmlAttr) text() string { return html.UnescapeString(string(a.value)) }

func newTagReader(src io.Reader) *tagReader {
	return &tagReader{src: bufio.NewReaderSize(src, maxXMLTag)}
}

// next reads up to the next tag that begins an element and reports whether the
// element is still open; one that ends at once (<a/>) isn't. At a tag that ends
// an element begins is false. The end of the file is io.EOF.
func (t *tagReader) next() (begins, open bool, err error) {
	if t.closing {
		t.pop()
		t.closing = false
	}
	for {
		if err := t.skip("<"); err != nil {
			if err == io.EOF && len(t.ends) > 0 {
				err = io.ErrUnexpectedEOF
			}
			return false, false, err
		}
		head, _ := t.src.Peek(3)
		switch {
		case len(head) == 0:
			return false, false, io.ErrUnexpectedEOF
		case head[0] == '?':
			err = t.skip("?>")
		case string(head) == "!--":
			t.src.Discard(3)
			err = t.skip("-->")
		case string(head) == "![C" && len(t.ends) > 0:
			err = t.skip("]]>")
		case head[0] == '!':
			err = errXMLForm
		default:
			tag, err := t.tag()
			if err != nil {
				return false, false, err
			}
			if tag[0] == '/' {
				return false, false, t.end(bytes.TrimRight(tag[1:], " \t\r\n"))
			}
			return t.begin(tag)
		}
		if err == io.EOF {
			err = io.ErrUnexpectedEOF
		}
		if err != nil {
			return false, false, err
		}
	}
}

// skip reads up to and with mark.
func (t *tagReader) skip(mark string) error {
	last, met := mark[len(mark)-1], 0
	if len(mark) == 1 {
		for {
			switch _, err := t.src.ReadSlice(last); err {
			case nil:
				return nil
			case bufio.ErrBufferFull:
			default:
				return err
			}
		}
	}
	for {
		b, err := t.src.ReadByte()
		if err != nil {
			return err
		}
		switch {
		case met == len(mark)-1 && b == last:
			return nil
		case met < len(mark)-1 && b == mark[met]:
			met++
		case met == len(mark)-1 && b == mark[met-1] && b == mark[0]: // "--->"
		default:
			met = 0
			if b == mark[0] {
				met = 1
			}
		}
	}
}

// tag returns what stands between "<" and ">", at least a byte.
func (t *tagReader) tag() ([]byte, error) {
	tag, err := t.src.ReadSlice('>')
	quote := openQuote(tag, 0)
	if err == nil && quote != 0 {
		t.long = append(t.long[:0], tag...)
		for err == nil && quote != 0 && len(t.long) <= maxXMLTag {
			tag, err = t.src.ReadSlice('>')
			t.long, quote = append(t.long, tag...), openQuote(tag, quote)
		}
		tag = t.long
	}
	switch {
	case err == bufio.ErrBufferFull || len(tag) > maxXMLTag:
		return nil, errXMLSize
	case err == io.EOF:
		return nil, io.ErrUnexpectedEOF
	case err != nil:
		return nil, err
	case len(tag) < 2:
		return nil, errXMLForm
	}
	return tag[:len(tag)-1], nil
}

// openQuote returns the quote in which a piece of a tag ends, 0 for none.
func openQuote(piece []byte, quote byte) byte {
	for _, b := range piece {
		switch {
		case quote == 0 && (b == '"' || b == '\''):
			quote = b
		case b == quote:
			quote = 0
		}
	}
	return quote
}

func (t *tagReader) begin(tag []byte) (begins, open bool, err error) {
	open = true
	if tag[len(tag)-1] == '/' {
		tag, open = tag[:len(tag)-1], false
	}
	full, rest := cutWord(tag)
	if tag[0] <= ' ' {
		return false, false, errXMLForm
	}
	if len(full) == 0 {
		return false, false, errXMLForm
	}
	if len(t.ends) >= maxXMLNested {
		return false, false, errXMLSize
	}
	t.open = append(t.open, full...)
	t.ends = append(t.ends, len(t.open))
	if err := t.readAttrs(rest); err != nil {
		return false, false, err
	}
	prefix, name := cutPrefix(full)
	t.space, t.name = t.spaceOf(prefix), name
	t.closing = !open
	return true, open, nil
}

func (t *tagReader) end(full []byte) error {
	if len(t.ends) == 0 || !bytes.Equal(full, t.open[t.start():]) {
		return errXMLForm
	}
	t.pop()
	return nil
}

// start is where the innermost element's name begins in open.
func (t *tagReader) start() int {
	if n := len(t.ends); n > 1 {
		return t.ends[n-2]
	}
	return 0
}

func (t *tagReader) pop() {
	n := len(t.ends)
	t.open, t.ends = t.open[:t.start()], t.ends[:n-1]
	for len(t.bound) > 0 && t.bound[len(t.bound)-1].depth >= n {
		t.bound = t.bound[:len(t.bound)-1]
	}
}

// readAttrs reads the attributes of a tag and binds the name spaces among them.
func (t *tagReader) readAttrs(rest []byte) error {
	t.attrs = t.attrs[:0]
	for rest = trimBlanks(rest); len(rest) > 0; rest = trimBlanks(rest) {
		name, value, ok := bytes.Cut(rest, []byte("="))
		name, after := cutWord(name)
		value = trimBlanks(value)
		if !ok || len(name) == 0 || len(trimBlanks(after)) > 0 || len(value) < 2 || value[0] != '"' && value[0] != '\'' {
			return errXMLForm
		}
		end := bytes.IndexByte(value[1:], value[0])
		if end < 0 {
			return errXMLForm
		}
		rest = value[end+2:]
		a := xmlAttr{value: value[1 : end+1]}
		a.prefix, a.name = cutPrefix(name)
		t.attrs = append(t.attrs, a)
		if declared := string(a.prefix) == "xmlns"; declared || len(a.prefix) == 0 && string(a.name) == "xmlns" {
			if len(t.bound) >= maxXMLNames {
				return errXMLSize
			}
			b := binding{space: a.text(), depth: len(t.ends)}
			if declared {
				b.prefix = string(a.name)
			}
			t.bound = append(t.bound, b)
		}
	}
	return nil
}

func trimBlanks(b []byte) []byte {
	for len(b) > 0 && b[0] <= ' ' {
		b = b[1:]
	}
	return b
}

func cutPrefix(full []byte) (prefix, name []byte) {
	if i := bytes.IndexByte(full, ':'); i >= 0 {
		return full[:i], full[i+1:]
	}
	return nil, full
}

// spaceOf returns the name space that a prefix stands for here, "" if none.
func (t *tagReader) spaceOf(prefix []byte) string {
	for i := len(t.bound) - 1; i >= 0; i-- {
		if t.bound[i].prefix == string(prefix) {
			return t.bound[i].space
		}
	}
	return ""
}

// attr returns the text of the attribute without prefix, "" if there is none.
func (t *tagReader) attr(name string) string {
	for _, a := range t.attrs {
		if len(a.prefix) == 0 && string(a.name) == name {
			return a.text()
		}
	}
	return ""
}
