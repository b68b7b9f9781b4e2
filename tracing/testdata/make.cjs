const fs=require('fs');
// an L of 7.2 by 5.6 m with one rounded corner (radius 0.8 at the south-east), a rooflight 1.2 x 0.9 and a round one of 0.6 m, in mm
const m=require('makerjs');
const L={paths:{
 a:new m.paths.Line([0,0],[6400,0]), arc:new m.paths.Arc([6400,800],800,270,360), b:new m.paths.Line([7200,800],[7200,3200]),
 c:new m.paths.Line([7200,3200],[3200,3200]), d:new m.paths.Line([3200,3200],[3200,5600]), e:new m.paths.Line([3200,5600],[0,5600]), f:new m.paths.Line([0,5600],[0,0])},
 models:{rl:m.model.move(new m.models.Rectangle(1200,900),[4500,900])}, };
L.paths.round=new m.paths.Circle([1500,3000],300);
fs.writeFileSync('makerjs.dxf',m.exporter.toDXF(L,{units:m.unitType.Millimeter}));
const D=require('dxf-writer'); const d=new D(); d.setUnits('Millimeters');
d.addLayer('roof',D.ACI.RED,'CONTINUOUS'); d.setActiveLayer('roof');
d.drawPolyline([[0,0],[6400,0,Math.tan(Math.PI/8)],[7200,800],[7200,3200],[3200,3200],[3200,5600],[0,5600]],true);
d.drawRect(4500,900,5700,1800); d.drawCircle(1500,3000,300); d.drawText(100,100,50,0,'note');
fs.writeFileSync('dxf-writer.dxf',d.toDxfString());
const t=require('@tarikjabiri/dxf'); const w=new t.DxfWriter(); w.setUnits(t.Units.Millimeters);
w.addLWPolyline([{point:{x:0,y:0}},{point:{x:6400,y:0},bulge:Math.tan(Math.PI/8)},{point:{x:7200,y:800}},{point:{x:7200,y:3200}},{point:{x:3200,y:3200}},{point:{x:3200,y:5600}},{point:{x:0,y:5600}}],{flags:t.LWPolylineFlags.Closed});
w.addRectangle({x:4500,y:1800},{x:5700,y:900}); w.addCircle({x:1500,y:3000,z:0},300);
fs.writeFileSync('tarikjabiri.dxf',w.stringify());
