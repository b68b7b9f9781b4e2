import ezdxf
from math import tan,pi
doc=ezdxf.new('R2010'); doc.units=ezdxf.units.M; ms=doc.modelspace()
b=doc.blocks.new('ROOF',base_point=(1,1))
b.add_lwpolyline([(1,1,0),(7.4,1,tan(pi/8)),(8.2,1.8,0),(8.2,4.2,0),(4.2,4.2,0),(4.2,6.6,0),(1,6.6,0)],format='xyb',close=True)
b.add_line((5.5,1.9),(6.7,1.9)); b.add_line((6.7,1.9),(6.7,2.8)); b.add_line((6.7,2.8),(5.5,2.8)); b.add_line((5.5,1.9),(5.5,2.8))
b.add_circle((2.5,4),0.3)
ms.add_blockref('ROOF',(20,30),dxfattribs={'rotation':90})
ms.add_spline([(0,0),(1,1),(2,0)]); ms.add_text('x')
doc.saveas('ezdxf-block.dxf')
doc=ezdxf.new('R12'); ms=doc.modelspace()
ms.add_polyline2d([(0,0,0),(252,0,tan(pi/8)),(283.4645669,31.496063,0),(283.4645669,125.984252,0),(125.984252,125.984252,0),(125.984252,220.472441,0),(0,220.472441,0)],format='xyb',close=True)
doc.saveas('ezdxf-r12-inches.dxf')
