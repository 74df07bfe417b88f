package brought

import (
	"bytes"
	"io"
	"os"

	"conewright/geom/inputerror"
	"conewright/geom/message"
)

const (
	// headBytes of a brought file tell its kind.
	headBytes = 4096
	// oddShare is the part of them that may be control bytes: text has next to
	// none, pictures, archives and binary meshes some one in ten.
	oddShare = 0.05
)

// CheckKind refuses a brought file that holds no text, or text that no machine
// reads, before it is read in vain.
func CheckKind(file string) error {
	in, err := Open(file)
	if err != nil {
		return err
	}
	defer in.Close()
	if info, err := in.Stat(); err != nil || !info.Mode().IsRegular() || info.Size() == 0 {
		return wrong(file, "export the motion again", "not a file with motion in it")
	}
	return kindOf(in, file)
}

func kindOf(in *os.File, file string) error {
	head := make([]byte, headBytes)
	n, err := io.ReadFull(in, head)
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
		return inputerror.Caused(message.Name(file), "check the path", "the motion file can't be read (%s)", err)
	}
	head = head[:n]
	odd, zeros := 0, [2]int{}
	for i, b := range head {
		switch {
		case b == 0:
			odd++
			zeros[i%2]++
		case b < ' ' && b != '\t' && b != '\r' && b != '\n' && b != '\f' && b != 0x1a:
			odd++
		}
	}
	if float64(odd) <= oddShare*float64(n) {
		return nil
	}
	wide := bytes.HasPrefix(head, []byte("\xff\xfe")) || bytes.HasPrefix(head, []byte("\xfe\xff"))
	if few, many := min(zeros[0], zeros[1]), max(zeros[0], zeros[1]); wide || many > n/3 && few <= n/50 {
		return wrong(file, "save it as UTF-8, or plain text", "the text is in UTF-16, which machines don't read")
	}
	return wrong(file, "export the motion again", "not a file with motion in it")
}

// Open opens a brought file, but no folder, device or pipe, which may never end.
// Errors are *inputerror.Error.
func Open(file string) (*os.File, error) {
	if info, err := os.Stat(file); err == nil && !info.Mode().IsRegular() {
		return nil, wrong(file, "export the motion again", "not a file with motion in it")
	}
	in, err := os.Open(file)
	if err != nil {
		return nil, inputerror.Caused(message.Name(file), "check the path", "the motion file can't be read (%s)", err)
	}
	return in, nil
}
