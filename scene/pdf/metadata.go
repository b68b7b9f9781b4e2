package pdf

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"html"
	"math"
)

// xmp is the file's metadata packet (ISO 16684-1): what it is, and that it keeps to
// PDF/A-2 at level A (ISO 19005-2, 6.6.4).
func (d *Document) xmp() []byte {
	date := d.date.Format("2006-01-02T15:04:05Z")
	creator := ""
	if d.author != "" {
		creator = "<dc:creator><rdf:Seq><rdf:li>" + html.EscapeString(d.author) + "</rdf:li></rdf:Seq></dc:creator>\n"
	}
	return fmt.Appendf(nil, "<?xpacket begin=\"\ufeff\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n"+`<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/" xmlns:dc="http://purl.org/dc/elements/1.1/"
 xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/">
<pdfaid:part>2</pdfaid:part>
<pdfaid:conformance>A</pdfaid:conformance>
<dc:format>application/pdf</dc:format>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">%s</rdf:li></rdf:Alt></dc:title>
%s<dc:language><rdf:Bag><rdf:li>%s</rdf:li></rdf:Bag></dc:language>
<xmp:CreateDate>%s</xmp:CreateDate>
<xmp:ModifyDate>%s</xmp:ModifyDate>
<pdf:Producer>%s</pdf:Producer>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>`, html.EscapeString(d.title), creator, d.Language, date, date, producer)
}

// Colours of sRGB (IEC 61966-2-1) in the profile's connection space: the primaries brought
// from the white of D65 to D50 by the Bradford matrix, which is what the test works out.
var (
	sRGBPrimaries = [3][3]float64{{0.43607, 0.22249, 0.01392}, {0.38515, 0.71687, 0.09708}, {0.14307, 0.06061, 0.71410}}
	bradford      = [9]float64{1.04790, 0.02290, -0.05022, 0.02960, 0.99046, -0.01707, -0.00925, 0.01508, 0.75168}
	whiteD50      = [3]float64{0.9642, 1, 0.8249}
)

// sRGB returns a colour profile of the sRGB space, written here after ICC.1:2004 (version
// 4.2): matrix and curve. It is part of this program and under its licence.
func sRGB() []byte {
	fixed := func(v float64) []byte { return binary.BigEndian.AppendUint32(nil, uint32(int32(math.Round(v*65536)))) }
	numbers := func(kind string, v ...float64) []byte {
		b := append([]byte(kind), 0, 0, 0, 0)
		for _, x := range v {
			b = append(b, fixed(x)...)
		}
		return b
	}
	words := func(s string) []byte {
		b := append([]byte("mluc"), 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 12)
		b = append(b, "enGB"...)
		b = binary.BigEndian.AppendUint32(b, uint32(2*len(s)))
		b = binary.BigEndian.AppendUint32(b, 28)
		for _, r := range []byte(s) {
			b = append(b, 0, r)
		}
		return b
	}
	// The curve of IEC 61966-2-1: ((x + 0.055)/1.055)^2.4 above 0.04045, x/12.92 below.
	curve := append([]byte("para\x00\x00\x00\x00\x00\x03\x00\x00"),
		bytes.Join([][]byte{fixed(2.4), fixed(1 / 1.055), fixed(0.055 / 1.055), fixed(1 / 12.92), fixed(0.04045)}, nil)...)
	tags := []struct {
		name string
		data []byte
	}{{"desc", words("sRGB")}, {"cprt", words("Written for gelwright, use freely")}, {"wtpt", numbers("XYZ ", whiteD50[:]...)},
		{"chad", numbers("sf32", bradford[:]...)}, {"rXYZ", numbers("XYZ ", sRGBPrimaries[0][:]...)},
		{"gXYZ", numbers("XYZ ", sRGBPrimaries[1][:]...)}, {"bXYZ", numbers("XYZ ", sRGBPrimaries[2][:]...)},
		{"rTRC", curve}, {"gTRC", curve}, {"bTRC", curve}}
	const head, entry = 128, 12
	var data, table []byte
	table = binary.BigEndian.AppendUint32(table, uint32(len(tags)))
	at := head + 4 + entry*len(tags)
	for _, t := range tags {
		for len(data)%4 != 0 {
			data = append(data, 0)
		}
		table = append(table, t.name...)
		table = binary.BigEndian.AppendUint32(table, uint32(at+len(data)))
		table = binary.BigEndian.AppendUint32(table, uint32(len(t.data)))
		data = append(data, t.data...)
	}
	for len(data)%4 != 0 {
		data = append(data, 0)
	}
	h := make([]byte, head)
	binary.BigEndian.PutUint32(h, uint32(at+len(data)))
	binary.BigEndian.PutUint32(h[8:], 0x04200000)
	copy(h[12:], "mntrRGB XYZ ")
	for i, v := range []uint16{2026, 1, 1, 0, 0, 0} {
		binary.BigEndian.PutUint16(h[24+2*i:], v)
	}
	copy(h[36:], "acsp")
	for i, v := range whiteD50 {
		copy(h[68+4*i:], fixed(v))
	}
	return bytes.Join([][]byte{h, table, data}, nil)
}
