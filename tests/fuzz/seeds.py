#!/usr/bin/python3
"""Writes the seeds of testdata/fuzz that are made and not found: seeds.py FOLDER. The same bytes each time.

Uses GDAL's Python (scripts/packages) for rasters and layers. What a fuzzer found stands beside the seeds, under its own
name; this script leaves it alone.
"""
import json
import os
import shutil
import sqlite3
import struct
import sys
import tempfile

from osgeo import gdal, ogr, osr

gdal.UseExceptions()
out = sys.argv[1]


def put(target, name, content):
    os.makedirs(os.path.join(out, target), exist_ok=True)
    with open(os.path.join(out, target, name), 'wb') as file:
        file.write(content.encode() if isinstance(content, str) else content)


def projects():
    least = '[footprints]\nsource = "b.gpkg"\n[terrain]\nelevation = "d.tif"\n[rain]\nsource = "r.tif"\n'
    put('project', 'least', least)
    put('project', 'many', '''[basin]
name = "A basin"
output = "o.gpkg"
[footprints]
source = "b.gpkg"
layer = "l"
id = "i"
where = "use <> 'x'"
outline = "walls"
overhang_m = "18 in"
material = "m"
eave_height = { field = "e", unit = "ft" }
min_area_m2 = "200 sq ft"
[terrain]
elevation = ["d.tif", "e/*.tif"]
vertical_unit = "us-ft"
rmse_m = 0.15
[rain]
source = "r.nc"
kind = "monthly"
unit = "mm day-1"
start = "1991-10-01"
calendar = "noleap"
[evapotranspiration]
source = "e.tif"
unit = "mm month-1"
[parcels]
source = "p.gpkg"
carry = ["owner", "phone"]
[[exclusions]]
source = "x.gpkg"
setback_m = "50 ft"
[[exclusions]]
source = "y.gpkg"
[season]
fill_months = ["November", 12, 1, 2, 3]
forbear_months = [6, 7, 8, 9, 10]
[harvest.runoff_coefficient]
"metal" = 0.92
"wood \\u00e9" = 0.7
[[tanks]]
volume_m3 = "5000 gal"
diameter_m = "10 ft"
height_m = 3.6
count = 2
[storage]
reliability = 0.9
[siting]
max_fill_m = "200 ft"
max_slope_pct = 15
[[scenarios]]
name = "dry"
rain_factor = [1, 1, 1, 1, 0.9, 0.8, 0.7, 0.7, 0.8, 0.9, 1, 1]
et0_factor = 1.1
[output]
units = "us"
[check]
accepted = ["roofs_far_apart"]
''')
    put('project', 'gauges', '[footprints]\nsource = "b.csv"\n[terrain]\nelevation = "d.vrt"\n[rain]\nsource = "g.csv"\n'
        'stations = "s.csv"\nnormals = "n.tif"\nnearest_stations = 4\nkind = "daily"\ndate_order = "day-month"\n'
        '[temperature]\nminimum = "a.tif"\nmaximum = "b.tif"\n[demand]\npeople = 2.5\ncrop_coefficient = 0.7\n'
        'garden_m2 = "0.1 acre"\n[rank]\ndraws = 200\nseed = 7\n[use_points]\nsource = "u.gpkg"\n')
    put('project', 'wrong_kinds', '[footprints]\nsource = 3\nid = ["a"]\nmin_area_m2 = "x"\n[rain]\nsource = true\n'
        'start = 1991-10-01\n[season]\nfill_months = "May"\n[nowhere]\na = 1\n[[tanks]]\ncount = 1.5\nvolume_m3 = -1\n')
    put('project', 'no_toml', '[footprints\nsource = "b')


def texts():
    words = ['1990-03-14', '1990-03', '19900314', '199003', '3/14/1990', '14/3/1990', '14.03.1990', '14-Mar-1990',
             'Mar 14 1990', 'Mar. 1990', '3/1990', '1990-02-30', '1990-03-14T10:00:00Z', '1.1.1990 07.30', '12', 'march',
             '5000 gal', '200 ft', '2.5 in/h', '1e300 km', '-0', '1,234,567.5', '1.234,5', '0,234', '1,234', '+1,23,4',
             '3,', '.5', 'inf', 'nan', '0x10', '1e400', 'kg m-2 s-1', 'mm/day', 'mm month-1', 'US survey foot', 'foot',
             'degC', 'Kelvin', 'precip_mm', 'Rain (mm)', 'tmin [F]', '360_day', 'proleptic_gregorian',
             "5'", '3 1/2 in', '12 %', 'caf\u00e9 \u202e', ' \t7 acre-ft ', '1 2', '--5', 'sq ft']
    for at, word in enumerate(words):
        put('text', f'{at:02}', word)
    put('text', 'no_utf8', b'\xff\xc3(\xe2\x82 \xf0\x9f\x92\xa7 \xed\xa0\x80')


def conditions():
    words = ["use <> 'greenhouse'", 'floors > 2 AND area BETWEEN 20 AND 500', "lower(use) IN ('barn', 'shed')",
             "use LIKE '%house' ESCAPE '!'", 'CASE WHEN floors IS NULL THEN 1 ELSE floors END = 1', '"use" GLOB \'a*\'',
             "iif(area > 1e3, round(area, 1), coalesce(floors, 0)) % 2 = 0", "NOT (use = 'it''s' OR area <> -.5)",
             "cast(use AS INTEGER) = 0x1F", "substr(use, 1, 2) || 'x' > 'ab'", 'area = ?', 'area = :a', '1; DROP TABLE rows',
             '1) UNION SELECT secret FROM others --', '(SELECT 1)', 'load_extension(1)', 'random() > 0', 'area -> 1',
             'CURRENT_TIMESTAMP > 1', "use MATCH 'a'", 'EXISTS (VALUES (1))', '1 /* a */', '[use] = `use`', "x'00' = use",
             "use COLLATE NOCASE = 'A'", 'rowid = 1', 'others.secret = 1', "'a' IN others", 'use IN rows', 'RAISE(ABORT, 1)',
             '1 ORDER BY 2', 'count(*) > 1', 'sum(area) OVER () > 1', "json_extract(use, '$')", '((((1))))', 'use = "use']
    for at, word in enumerate(words):
        put('condition', f'{at:02}', word)


def gauges():
    put('gauges', 'columns', b'\x00' + b'date,A1,B2\n' + b''.join(
        b'%04d-%02d-%02d,%d.5,\n' % (1990 + m // 12, m % 12 + 1, d, d) for m in range(14) for d in (1, 2, 28)))
    put('gauges', 'months', b'\x10' + b'# rain\nmonth;year;mm\n' + b''.join(
        b'%d;%d;%d,5\n' % (m % 12 + 1, 1990 + m // 12, m) for m in range(26)))
    put('gauges', 'mean_year', b'\x08month\train_mm\nJan\t100\nFeb\t90\nMar\t80\nApr\t50\nMay\t20\nJun\tT\nJul\t0\n'
        b'Aug\t\nSep\t5\nOct\t40\nNov\t70\nDec\t95\n')
    put('gauges', 'stations', b'\x00date,station,rain (in)\n1/13/1990,"A ""x""",1.5\n1/14/1990,B,-9999\n1/14/1990,A,trace\n')
    put('gauges', 'day_first', b'\x04date rain\n01/02/1990 3\n02/02/1990 1,5\n')
    put('gauges', 'minimum', b'\x03DATE|TMIN|TMAX\n1990-01-01|-5.5|7\n1990-01-02|999|8\nsource: somebody||\n')
    put('gauges', 'units_line', b'\x00date,A\n,mm\n1990-01-01,3\n1990-02-30,4\n')


def wkbs():
    square = [(0, 0), (10, 0), (10, 10), (0, 10), (0, 0)]
    bow_tie = [(0, 0), (10, 10), (10, 0), (0, 10), (0, 0)]

    def points(pts, order='<'):
        return struct.pack(order + 'I', len(pts)) + b''.join(struct.pack(order + '%dd' % len(p), *p) for p in pts)

    def polygon(*rings):
        return struct.pack('<BII', 1, 3, len(rings)) + b''.join(points(ring) for ring in rings)
    put('wkb', 'square', polygon(square))
    put('wkb', 'hole', polygon(square, [(2, 2), (4, 2), (4, 4), (2, 2)]))
    put('wkb', 'bow_tie', polygon(bow_tie))
    put('wkb', 'open', polygon(square[:4], square[:2]))
    put('wkb', 'big_endian', struct.pack('>BII', 0, 3, 1) + points(square, '>'))
    put('wkb', 'several', struct.pack('<BII', 1, 6, 2) + polygon(square) + polygon(bow_tie))
    put('wkb', 'heights', struct.pack('<BII', 1, 1003, 1) + points([(x, y, 5) for x, y in square]))
    put('wkb', 'srid', struct.pack('<BIII', 1, 3 | 0xE0000000, 4326, 1) + points([(x, y, 5, 6) for x, y in square]))
    put('wkb', 'line', struct.pack('<BI', 1, 2) + points(square))
    put('wkb', 'point', struct.pack('<BIdd', 1, 1, 3, float('nan')))
    put('wkb', 'collection', struct.pack('<BII', 1, 7, 3) + polygon(square) + struct.pack('<BI', 1, 2) + points(square) +
        struct.pack('<BIdd', 1, 1, 3, 4))
    put('wkb', 'deep', struct.pack('<BII', 1, 7, 1) * 40 + polygon(square))
    put('wkb', 'curve', struct.pack('<BII', 1, 10, 1) + struct.pack('<BI', 1, 8) + points(square))
    put('wkb', 'stored', b'GP\x00\x03' + struct.pack('<i4d', 32610, 0, 10, 0, 10) + polygon(square))
    put('wkb', 'nowhere', polygon([(0, 0), (float('inf'), 0), (10, 1e308), (float('nan'), 1), (0, 0)]))


def records():
    text = struct.pack('<Q', 2) + b'R1'
    ring = struct.pack('<Q', 4) + struct.pack('<8d', 0, 0, 1, 0, 0, 1, 0, 0)
    outline = struct.pack('<Q', 1) + ring + struct.pack('<Q', 1) + ring
    number = struct.pack('<Bd', 1, 3.5)
    word = b'\x01' + text
    place = struct.pack('<2d', 0.2, 0.3)
    put('records', 'footprint', b'\x00' + text + number + outline + place + struct.pack('<d', 38) + number * 3 + word +
        number * 4 + struct.pack('<I', 5))
    put('records', 'parcel', b'\x01' + text + outline + place + number + number * 3 + word + number * 5 + word +
        number * 2 + word + struct.pack('<I', 1))
    put('records', 'line', b'\x02' + struct.pack('<I', 0) + ring + struct.pack('<Q', 0))
    put('records', 'area', b'\x02' + struct.pack('<I', 2) + struct.pack('<Q', 0) + outline)
    put('records', 'greedy', b'\x02' + struct.pack('<I', 2) + b'\xff' * 16)
    put('rows', 'nothing', b'\x01' + bytes(64))
    put('rows', 'ones', b'\x01' + bytes(8) + b'\x01' * 2600)
    put('rows', 'twos', b'\x02' + bytes(8) + b'\x02' * 2600)
    put('rows', 'file', b'\x00' + struct.pack('<Q', 16) + b'eaveshed rows 7\n' + struct.pack('<Q', 4) + b'plan' + bytes(400))
    put('predictor', 'rows', bytes([31]) + bytes(range(256)) * 2)
    put('predictor', 'one', bytes([0]) + b'\x41\xff\x02\x80')
    put('predictor', 'wide', bytes([255]) + bytes((i * i) % 251 for i in range(1024)))


def manifests():
    finding = {'severity': 'warning', 'where': 'a', 'found': 'b', 'wanted': '', 'remedy': 'c', 'code': None}
    part = {'part': 1, 'first_tile': 0, 'tiles': 2, 'roofs': 3, 'parcels': 1, 'seconds': 4, 'memory_mib': 300}
    job = {'program.name': 'eaveshed', 'setting.a': '1', 'input.b': 'caf\u00e9'}
    put('manifest', 'run', json.dumps({'eaveshed_plan': 2, 'tile_side_m': 1000.0, 'job': job}))
    put('manifest', 'parts', json.dumps({'eaveshed_plan': 2, 'tile_side_m': 500.5, 'plan': {
        'project_file': '/a/b.toml', 'strict': True, 'roofs': 3, 'parcels': 1, 'gather_seconds': 5,
        'gather_memory_mib': 200, 'parts': [part, part], 'findings': [finding]}, 'job': job}))
    put('manifest', 'other', '{"eaveshed_plan": 2}')
    put('manifest', 'great', '{"eaveshed_plan":2,"tile_side_m":1e999,"plan":{"project_file":"","strict":false,'
        '"roofs":1e300,"parcels":-1,"gather_seconds":0.5,"gather_memory_mib":18446744073709551616,"parts":[],'
        '"findings":[]},"job":{}}')


def tables():
    put('measured', 'roofs', 'roof_id,eave_height_m,connected_share,material,pad_x,pad_y,note\nR1,3.5,0.8,metal,,,hi\n'
        'R2,12 ft,80 %,,500000,4000000,\n,3,,,,,\nR3,,,,,,\n')
    put('measured', 'parcels', 'parcel_id;people;irrigated_area_m2;season_use_m3\nP1;3;1/4 acre;\nP2;-1;0,1 ha;5000 gal\n')
    put('measured', 'both', 'ROOF_ID,parcel_id,people\nR1,P1,3\n,P2,4\n')
    put('measured', 'shapes', 'roof_id,eave_height_m,WKT\nR1,3,"POLYGON((0 0,1 0,1 1,0 0))"\nR2,3,"POLYGON((0 0"\n')
    put('measured', 'none', 'a,b\n1,2\n')
    put('calls', 'list', 'Parcel id,Owner,Status,Date,Outcome,Next step\n\'=A1,Ada,Visit booked,2026-11-25,friendly,call\n'
        'P2,Bo,,,,\nP3,Cy,Do-not-contact,25.11.2026,,\n,Di,declined,,,\n')
    put('calls', 'twice', 'parcel_id,STATUS,status\nP1,enrolled,declined\nP1,who knows,\n')
    put('calls', 'none', 'name,phone\nAda,1\n')


def vrts():
    def source(name, kind='SimpleSource', extra=''):
        return (f'<{kind}><SourceFilename relativeToVRT="1">{name}</SourceFilename><SourceBand>1</SourceBand>'
                f'<SrcRect xOff="0" yOff="0" xSize="3" ySize="2"/><DstRect xOff="{extra or 0}" yOff="0" xSize="3" ySize="2"/></{kind}>')

    def vrt(inside, cols=6):
        return (f'<VRTDataset rasterXSize="{cols}" rasterYSize="2"><SRS>EPSG:32610</SRS>'
                f'<GeoTransform>500000, 1, 0, 4000000, 0, -1</GeoTransform>{inside}</VRTDataset>')

    def band(inside, kind=''):
        return f'<VRTRasterBand dataType="Float32" band="1"{kind}>{inside}</VRTRasterBand>'
    put('vrt', 'mosaic', vrt(band(source('a.tif') + source('b.tif', extra='3'))))
    put('vrt', 'hole', vrt(band('<NoDataValue>-9999</NoDataValue>' + source('a.tif', 'ComplexSource', '1'))))
    put('vrt', 'scaled', vrt(band('<ComplexSource><SourceFilename relativeToVRT="1">a.tif</SourceFilename>'
        '<SourceBand>1</SourceBand><SourceProperties RasterXSize="3" RasterYSize="2" DataType="Float32" BlockXSize="3" '
        'BlockYSize="2"/><ScaleOffset>1</ScaleOffset><ScaleRatio>2</ScaleRatio><NODATA>5</NODATA></ComplexSource>')))
    put('vrt', 'half_cells', vrt(band(source('a.tif', extra='0.5'))))
    put('vrt', 'odd_numbers', vrt(band(source('a.tif', extra='nan') + source('b.tif', extra='1e300'))))
    put('vrt', 'missing', vrt(band(source('no.tif'))))
    put('vrt', 'itself', vrt(band(source('look.vrt'))))
    put('vrt', 'network', vrt(band(source('/vsicurl/http://a.example/a.tif'))))
    put('vrt', 'derived', vrt(band('<PixelFunctionType>sum</PixelFunctionType>' + source('a.tif'),
        ' subClass="VRTDerivedRasterBand"')))
    put('vrt', 'raw', vrt(band('<SourceFilename>a.tif</SourceFilename><ImageOffset>0</ImageOffset>',
        ' subClass="VRTRawRasterBand"')))
    put('vrt', 'no_xml', '<VRTDataset rasterXSize="3" ')
    put('vrt', 'metadata', vrt('<Metadata domain="a"><MDI key="k">v</MDI></Metadata>' + band(
        '<Description>d</Description><UnitType>ft</UnitType><Offset>1</Offset><Scale>0.5</Scale>' + source('a.tif'))))


def tiffs(folder):
    values = [float(300 + (x * y) % 17) + 0.25 for y in range(20) for x in range(24)]
    for at, (name, options) in enumerate([
            ('plain', ['COMPRESS=NONE']), ('strips', ['COMPRESS=LZW', 'BLOCKYSIZE=7']),
            ('tiled', ['TILED=YES', 'BLOCKXSIZE=16', 'BLOCKYSIZE=16', 'COMPRESS=DEFLATE', 'PREDICTOR=3']),
            ('zstd', ['TILED=YES', 'BLOCKXSIZE=16', 'BLOCKYSIZE=16', 'COMPRESS=ZSTD', 'PREDICTOR=3']),
            ('lzw3', ['COMPRESS=LZW', 'PREDICTOR=3']), ('sparse', ['SPARSE_OK=TRUE', 'BLOCKYSIZE=5']),
            ('big', ['BIGTIFF=YES', 'COMPRESS=DEFLATE']), ('packbits', ['COMPRESS=PACKBITS'])]):
        path = os.path.join(folder, name + '.tif')
        data = gdal.GetDriverByName('GTiff').Create(path, 24, 20, 1, gdal.GDT_Float32, options)
        data.SetGeoTransform([500000, 1, 0, 4000000, 0, -1])
        crs = osr.SpatialReference()
        crs.ImportFromEPSG(32610)
        data.SetProjection(crs.ExportToWkt())
        if at % 2:
            data.GetRasterBand(1).SetNoDataValue(-9999)
        if name != 'sparse':
            data.GetRasterBand(1).WriteRaster(0, 0, 24, 20, struct.pack('480f', *values))
        data = None
        put('tiff', name, open(path, 'rb').read())
    content = open(os.path.join(folder, 'tiled.tif'), 'rb').read()
    put('tiff', 'cut', content[:len(content) * 2 // 3])


def vectors(folder):
    square = '{"type":"Polygon","coordinates":[[[-123.1,38.5],[-123.0999,38.5],[-123.0999,38.5001],[-123.1,38.5]]]}'
    put('vector', 'geojson', b'\x01' + ('{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"id":"a",'
        '"n":1.5,"d":"2020-01-01","l":[1,2]},"geometry":' + square + '},{"type":"Feature","properties":{"id":null},'
        '"geometry":null}]}').encode())
    put('vector', 'csv', b'\x02id,WKT\na,"POLYGON((0 0,1 0,1 1,0 0))"\nb,"MULTIPOLYGON(((0 0,1 0,1 1,0 0)))"\nc,\n')
    put('vector', 'csv_bytes', b'\x02id;geometry\n\xff\xfe;"POLYGON Z((0 0 1,1 0 2,1 1 3,0 0 1))"\n')
    for byte, driver, name in [(3, 'FlatGeobuf', 'a.fgb'), (0, 'GPKG', 'a.gpkg')]:
        gdal.SetConfigOption('OGR_SQLITE_PRAGMA', None)
        path = os.path.join(folder, name)
        crs = osr.SpatialReference()
        crs.ImportFromEPSG(32610)
        data = ogr.GetDriverByName(driver).CreateDataSource(path)
        layer = data.CreateLayer('a', crs, ogr.wkbPolygon,
                                 ['SPATIAL_INDEX=NO'] if byte == 0 else ['SPATIAL_INDEX=NO'])
        layer.CreateField(ogr.FieldDefn('id', ogr.OFTString))
        layer.CreateField(ogr.FieldDefn('n', ogr.OFTReal))
        for number in range(3):
            feature = ogr.Feature(layer.GetLayerDefn())
            feature.SetField('id', f'r{number}')
            feature.SetField('n', number / 4)
            feature.SetGeometry(ogr.CreateGeometryFromWkt(
                f'POLYGON(({number} 0,{number + 1} 0,{number + 1} 1,{number} 0))'))
            layer.CreateFeature(feature)
        layer = data = None
        if byte == 0:
            db = sqlite3.connect(path)
            for (trigger,) in db.execute("SELECT name FROM sqlite_master WHERE type='trigger'").fetchall():
                db.execute(f'DROP TRIGGER "{trigger}"')
            db.execute("DELETE FROM gpkg_spatial_ref_sys WHERE srs_id NOT IN (-1, 0, 32610)")
            db.execute("UPDATE gpkg_contents SET last_change = '2026-01-01T00:00:00.000Z'")
            db.commit()
            db.execute('PRAGMA page_size = 512')
            db.execute('VACUUM')
            db.close()
        put('vector', driver.lower(), bytes([byte]) + open(path, 'rb').read())
    for name, shapes in [('polygons', [
            'POLYGON((0 0,0 1,1 1,0 0))', 'MULTIPOLYGON(((0 0,0 9,9 9,0 0),(2 4,3 5,2 5,2 4)),((20 0,20 1,21 1,20 0)))', None]),
            ('with_heights', ['POLYGON Z((0 0 1,0 1 2,1 1 3,0 0 1))'])]:
        shapefile(folder, name, shapes)


# The shapes and their index, each behind its length in two bytes, the lower one first; then the table.
def shapefile(folder, name, shapes):
    path = os.path.join(folder, name + '.shp')
    data = ogr.GetDriverByName('ESRI Shapefile').CreateDataSource(path)
    layer = data.CreateLayer(name, None, ogr.wkbPolygon25D if ' Z' in shapes[0] else ogr.wkbPolygon,
                             ['DBF_DATE_LAST_UPDATE=2026-01-01'])
    layer.CreateField(ogr.FieldDefn('id', ogr.OFTString))
    height = ogr.FieldDefn('h', ogr.OFTReal)
    height.SetWidth(8)
    height.SetPrecision(2)
    layer.CreateField(height)
    for number, wkt in enumerate(shapes):
        feature = ogr.Feature(layer.GetLayerDefn())
        feature.SetField('id', f'r{number}')
        feature.SetField('h', 2.5 + number)
        feature.SetGeometry(ogr.CreateGeometryFromWkt(wkt) if wkt else None)
        layer.CreateFeature(feature)
    layer = data = None
    parts = [open(path[:-3] + end, 'rb').read() for end in ('shp', 'shx', 'dbf')]
    put('shapefile', name, b''.join(struct.pack('<H', len(part)) + part for part in parts[:2]) + parts[2])


def results(folder):
    for name, more in [('plain', []), ('odd', [
            "INSERT INTO reaches VALUES (3, 'c', 'c', 1, NULL, 'x')", "INSERT INTO roofs VALUES (3, x'00', 7, 'no', 1.5e300, '')",
            "INSERT INTO run_record (key, value) VALUES ('setting.rain.kind', 'yearly')", "CREATE VIEW pads AS SELECT * FROM roofs"]),
            ('circle', ["UPDATE reaches SET next_reach_id = 'a' WHERE reach_id = 'b'"])]:
        path = os.path.join(folder, name + '.gpkg')
        db = sqlite3.connect(path)
        db.execute('PRAGMA page_size = 512')
        db.execute('PRAGMA application_id = 1196444487')
        for statement in [
                'CREATE TABLE run_record (fid INTEGER PRIMARY KEY, key TEXT, value TEXT)',
                "INSERT INTO run_record (key, value) VALUES ('program.name', 'eaveshed'), ('program.version', '0.1.0'), "
                "('setting.footprints.source', 'b.gpkg'), ('setting.terrain.elevation', 'd.tif'), "
                "('setting.rain.source', 'r.tif'), ('setting.rain.kind', 'monthly'), "
                "('setting.footprints.min_area_m2', '20')",
                'CREATE TABLE roofs (fid INTEGER PRIMARY KEY, geom BLOB, roof_id TEXT, status TEXT, plan_area_m2 REAL, flags TEXT)',
                "INSERT INTO roofs VALUES (1, x'00', 'A', 'ok', 120.5, 'measured'), (2, NULL, 'B', 'duplicate', NULL, '')",
                'CREATE TABLE parcels (fid INTEGER PRIMARY KEY, geom BLOB, parcel_id TEXT, score REAL, rank INTEGER)',
                "INSERT INTO parcels VALUES (1, x'00', 'P', 0.5, 1)",
                'CREATE TABLE reaches (fid INTEGER PRIMARY KEY, reach_id TEXT, next_reach_id TEXT, gain_local_lps REAL, '
                'gain_total_lps REAL, name TEXT)',
                "INSERT INTO reaches VALUES (1, 'a', 'b', 0.5, 0.5, 'Creek'), (2, 'b', NULL, 0.25, 0.75, NULL)"] + more:
            db.execute(statement)
        db.commit()
        db.execute('VACUUM')
        db.close()
        put('result', name, open(path, 'rb').read())


projects()
texts()
conditions()
gauges()
wkbs()
records()
manifests()
tables()
vrts()
scratch = tempfile.mkdtemp()
tiffs(scratch)
vectors(scratch)
results(scratch)
shutil.rmtree(scratch)
