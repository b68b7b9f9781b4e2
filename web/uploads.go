package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	_ "image/gif" // headers of pictures are read
	_ "image/jpeg"
	_ "image/png"
	"net/http"
	"path"
	"strings"
	"unicode/utf8"

	_ "golang.org/x/image/webp"

	"gelwright/store"
)

// What a job may have of files: what it has more could not be taken elsewhere as one file (store.MostImportBytes).
const (
	mostFiles     = 2000
	mostJobBytes  = store.MostImportBytes * 9 / 10
	mostPixels    = 100_000_000 // of a picture: three times what phones make, and a browser shows it
	mostPixelSide = 65_535      // of a JPEG, by its format (ISO/IEC 10918-1, B.2.2)
)

// kinds are what the types of files must be like, and by which endings of names they go; "text/" stands for all texts. A type
// that is not here is kept as it comes and never shown.
var kinds = map[string]struct {
	like    func(content []byte) string
	endings string
}{
	"image/jpeg":       {pictureOf("jpeg"), ".jpg .jpeg"},
	"image/png":        {pictureOf("png"), ".png"},
	"image/gif":        {pictureOf("gif"), ".gif"},
	"image/webp":       {pictureOf("webp"), ".webp"},
	"application/pdf":  {beginning("%PDF-", "a PDF"), ".pdf"},
	"application/zip":  {beginning("PK", "a zip file"), ".zip"},
	"application/json": {likeJSON, ""},
	"text/":            {likeText, ""},
}

// programs are the first bytes of what runs: of Windows, of Linux, of macOS in its three forms, and WebAssembly.
var programs = []string{"MZ", "\x7fELF", "\xcf\xfa\xed\xfe", "\xce\xfa\xed\xfe", "\xca\xfe\xba\xbe", "\x00asm"}

// looked says why a file is not kept: it is not what its type or its name says, a program, or a picture that no device can show
// (ASVS 5.0 5.2.2, 5.2.6).
func looked(name, media string, content []byte) error {
	for _, begin := range programs {
		if bytes.HasPrefix(content, []byte(begin)) && likeText(content) != "" {
			return unlike(name, "Keep pictures, documents, drawings and lists here", "it is a program")
		}
	}
	row := media
	if strings.HasPrefix(media, "text/") {
		row = "text/"
	}
	if kind, known := kinds[row]; known {
		if why := kind.like(content); why != "" {
			return unlike(name, "Say what the file is (Content-Type), or send it as application/octet-stream: then it is kept and not shown",
				"it is said to be %s, and %s", media, why)
		}
	}
	ending := strings.ToLower(path.Ext(name))
	for of, kind := range kinds {
		if ending != "" && of != row && media != unknownMedia && strings.Contains(" "+kind.endings+" ", " "+ending+" ") {
			return unlike(name, "Give it the ending of what it is, or say what it is", "it ends in %s and is said to be %s", ending, media)
		}
	}
	return nil
}

// unknownMedia is the type of what is kept and never shown.
const unknownMedia = "application/octet-stream"

func unlike(name, remedy, format string, args ...any) error {
	return &problem{status: http.StatusUnsupportedMediaType, Code: "unlike", Place: lineIn(name),
		Message: fmt.Sprintf(format, args...), Remedy: remedy}
}

// pictureOf reads a picture's head: its format, and how large it would be.
func pictureOf(format string) func([]byte) string {
	return func(content []byte) string {
		c, is, err := image.DecodeConfig(bytes.NewReader(content))
		switch {
		case err != nil || is != format:
			return "its bytes are those of none"
		case c.Width <= 0 || c.Height <= 0 || c.Width > mostPixelSide || c.Height > mostPixelSide || c.Width*c.Height > mostPixels:
			return fmt.Sprintf("it would have %d × %d pixels; the most is %d million", c.Width, c.Height, mostPixels/1_000_000)
		}
		return ""
	}
}

// beginning looks at the first bytes of a file.
func beginning(begin, called string) func([]byte) string {
	return func(content []byte) string {
		if bytes.HasPrefix(content, []byte(begin)) {
			return ""
		}
		return "it does not begin as " + called + " does"
	}
}

func likeJSON(content []byte) string {
	if json.Valid(content) {
		return ""
	}
	return "it is no JSON"
}

// likeText takes texts in UTF-8, as all is given back.
func likeText(content []byte) string {
	if utf8.Valid(content) && bytes.IndexByte(content, 0) < 0 {
		return ""
	}
	return "it is no text in UTF-8"
}

// roomFor says why a job takes no more files (ASVS 5.0 5.2.4).
func roomFor(files []store.File, name string, size int64) error {
	sum, more := size, len(files) >= mostFiles
	for _, f := range files {
		if sum += f.Size; f.Name == name {
			return nil // sent again: the store answers
		}
	}
	if !more && sum <= mostJobBytes {
		return nil
	}
	return &problem{status: http.StatusInsufficientStorage, Code: "many", Place: lineIn(name),
		Message: fmt.Sprintf("the job has %d files already, and may have %d files and %d MB", len(files), mostFiles, int64(mostJobBytes)>>20),
		Remedy:  "Copy the job and go on in the copy, or keep large files elsewhere"}
}
