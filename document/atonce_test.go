package document

import (
	"bytes"
	"context"
	"testing"
)

// Pictures are painted several at once; order and bytes are those of one after another. The
// race detector runs this.
func TestPicturesPaintedAtOnce(t *testing.T) {
	_, set := planned(t, "r01-garage")
	sheets := set.Site
	if len(sheets) > 3 {
		sheets = sheets[:3]
	}
	got, err := pictures(context.Background(), sheets)
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range sheets {
		want, err := picture(s.Scene)
		if err != nil || !bytes.Equal(got[i], want) {
			t.Errorf("%s: painted beside others it has other bytes than alone (%v)", s.Scene.Title, err)
		}
	}
	if len(sheets) < 2 {
		t.Errorf("only %d pictures", len(sheets))
	}
}
