#!/usr/bin/python3
"""The same job as an analyst would script it: the whole basin in memory, numpy, geopandas, rasterio.

  scripts/bench_peer.py BASIN OUT.csv [--start 1991-01-01]

BASIN is a folder with footprints.gpkg, parcels.gpkg, streams.gpkg, dem.tif (projected, metres) and rain_daily.tif (mm, one
band a day from --start, no gaps), all in one coordinate reference system. OUT.csv gets a line for each footprint: roof_id,
storage_m3, replaced_dependable_m3, pad_elev_m, delivery, and to check the way there plan_area_m2 and
harvest_dependable_m3. Rules and numbers are those of the method as shipped, sections 1 to 6, without any optional field.

It does less than the program: no reasons where there is no pad, no certainty, no window, no parcel systems, no ranking, no
curve, no flags, no GeoPackage. What belongs into one array is one array: slopes, ground samples, rain, stores. Pads are
found parcel by parcel, with exact distances from cell centres to edges. `scripts/bench peer` runs it beside the program.
"""
import argparse
import csv
import math
import os
import sys
import warnings

import fiona
import geopandas
import numpy as np
import pandas
import rasterio
import shapely.geometry
import shapely.ops
import shapely.vectorized
from osgeo import gdal
from shapely.errors import ShapelyDeprecationWarning
from shapely.strtree import STRtree
from shapely.validation import make_valid

gdal.UseExceptions()
warnings.filterwarnings("ignore", category=ShapelyDeprecationWarning)

TANKS = [(1.9, 1.22, 1.52, 1), (5.7, 1.83, 2.13, 1), (9.5, 2.41, 2.31, 1)] + [
    (18.9, 3.02, 2.95, count) for count in (1, 2, 3, 5, 10)]  # m3, diameter, height, count; ascending by volume
RUNOFF, CONNECTED, EFFICIENCY, FIRST_FLUSH_MM, WET_DAY_MM = 0.85, 0.75, 0.95, 0.5, 0.2
PEOPLE, LITRES, HOME_SHARE, GARDEN_M2 = 2.5, 190, 0.3, 200
CROP, IRRIGATION, RAIN_EFFECT, SOIL_MM, ET0_MM = 0.8, 0.85, 0.75, 25, 5.0
FILL_MONTHS, FORBEAR_MONTHS, FIRST_MONTH = (11, 12, 1, 2, 3, 4, 5), (8, 9, 10), 11
RELIABILITY, STORAGE_SHARE, MARGINAL_YIELD, MIN_AREA_M2 = 0.80, 0.95, 0.25, 20
EAVE_M, EAVE_SD_M, RMSE_M, MARGIN_M = 2.8, 0.6, 0.15, 0.3
MAX_SLOPE, MAX_CUT_M, MAX_REACH_M, GARDEN_SLOPE, GARDEN_STEP_M, SLOPE_WINDOW_M = 0.15, 0.6, 60, 0.20, 3, 5
BOUNDARY_M, BUILDING_M, STREAM_M = 1.5, 1.5, 15
OUTLET_M, TAP_M, FILL_LOSS_M, FILL_GRADIENT, FILL_WEIGHT, SLACK = 0.1, 0.6, 0.3, 0.01, 2, 1.1
FRICTION = 10.67 * 0.00025**1.852 / (150**1.852 * 0.032**4.8704)  # metres of head a metre of pipe, Hazen-Williams
KPA_PER_M, FILTER_KPA, REQUIRED_KPA, MINIMUM_KPA, STEP_KPA = 9.80665, 5, 70, 10, 2.5
MAX_LIFT_M, MAX_FEED_LIFT_M, LIFT_STEP_M, SURE_SDS = 10, 10, 1.0, 1.2815515655446004
DELIVERY = {0: "gravity", 1: "low_pressure", 2: "pumped_feed"}


# ---------------------------------------------------------------------------------------------------- vectors

def read_layer(path, crs=None):
    """Geometries in file order, with the feature ids that GeoPackage gives them."""
    with fiona.open(path) as source:
        features = list(source)
        frame = geopandas.GeoDataFrame.from_features(features, crs=source.crs)
    frame["fid"] = [str(feature["id"]) for feature in features]
    return frame if crs is None or frame.crs == crs else frame.to_crs(crs)


def repaired(geometry):
    """The polygonal part of a valid geometry; None without one."""
    if geometry is None or geometry.is_empty:
        return None
    if not geometry.is_valid:
        geometry = make_valid(geometry)
    if geometry.geom_type == "GeometryCollection":
        parts = [part for part in geometry.geoms if part.geom_type in ("Polygon", "MultiPolygon")]
        geometry = shapely.ops.unary_union(parts) if parts else None
    return geometry if geometry is not None and geometry.area > 0 else None


def roofs_of(footprints):
    """Repaired outlines, areas on the ellipsoid, interior points, and which rows count."""
    footprints["geometry"] = [repaired(geometry) for geometry in footprints.geometry]
    good = footprints.geometry.notna().to_numpy()
    seen, first = set(), np.zeros(len(footprints), bool)
    for i in np.flatnonzero(good):
        shape = footprints.geometry[i]
        key = (shape if shape.geom_type == "MultiPolygon" else shapely.geometry.MultiPolygon([shape])).normalize().wkb
        first[i] = key not in seen
        seen.add(key)
    geod = footprints.crs.get_geod()
    degrees = footprints.geometry.to_crs(footprints.crs.geodetic_crs)
    area = np.array([abs(geod.geometry_area_perimeter(shape)[0]) if shape is not None else np.nan for shape in degrees])
    footprints["area_m2"] = area
    inside = [shape.representative_point() if shape is not None else None for shape in footprints.geometry]
    footprints["x"] = [point.x if point is not None else np.nan for point in inside]
    footprints["y"] = [point.y if point is not None else np.nan for point in inside]
    footprints["counted"] = good & first
    footprints["ok"] = good & first & (area >= MIN_AREA_M2)
    return inside


class Near:
    """Which shapes of a layer have a box that meets a box."""

    def __init__(self, shapes):
        known = [(i, shape) for i, shape in enumerate(shapes) if shape is not None]
        self.numbers = np.array([i for i, _ in known], int)
        self.tree = STRtree([shape for _, shape in known])

    def __call__(self, box):
        query = getattr(self.tree, "query_items", self.tree.query)  # shapely 1.8, 2
        return np.sort(self.numbers[np.asarray(query(shapely.geometry.box(*box)), int)])


def parcel_of(points, parcels):
    """The first parcel in input order that contains the point; -1 without one."""
    near, found = Near(parcels), np.full(len(points), -1)
    for i, point in enumerate(points):
        if point is not None:
            found[i] = next((k for k in near((point.x, point.y, point.x, point.y)) if parcels[k].contains(point)), -1)
    return found


def rings_of(shape):
    if shape.geom_type in ("LineString", "LinearRing"):
        return [shape]
    if shape.geom_type == "Polygon":
        return [shape.exterior, *shape.interiors]
    return [ring for part in shape.geoms for ring in rings_of(part)]


def edges_of(shapes):
    """All edges of all rings, one a row: x1, y1, x2, y2."""
    rings = [np.asarray(ring.coords)[:, :2] for shape in shapes for ring in rings_of(shape)]
    return np.concatenate([np.hstack([ring[:-1], ring[1:]]) for ring in rings]) if rings else np.empty((0, 4))


def distance_to_edges(x, y, edges):
    """From every point to the nearest edge; infinite without edges."""
    if len(edges) == 0:
        return np.full(len(x), np.inf)
    px, py = x[:, None] - edges[:, 0], y[:, None] - edges[:, 1]
    dx, dy = edges[:, 2] - edges[:, 0], edges[:, 3] - edges[:, 1]
    length2 = dx * dx + dy * dy
    share = np.clip((px * dx + py * dy) / np.where(length2 > 0, length2, 1), 0, 1)
    return np.sqrt(((px - share * dx) ** 2 + (py - share * dy) ** 2).min(axis=1))


def contains(shape, x, y):
    return shapely.vectorized.contains(shape, x, y) if len(x) else np.zeros(0, bool)


def distance_to_area(x, y, shape):
    return np.where(contains(shape, x, y), 0.0, distance_to_edges(x, y, edges_of([shape])))


# ---------------------------------------------------------------------------------------------------- terrain

class Terrain:
    def __init__(self, path):
        with rasterio.open(path) as source:
            self.crs, self.transform = source.crs, source.transform
            z = source.read(1).astype(float)
            if source.nodata is not None:
                z[z == source.nodata] = np.nan
            self.step = abs(source.scales[0]) if source.dtypes[0].startswith(("int", "uint")) else 0.0
        self.z, self.width, self.height = z, self.transform.a, -self.transform.e
        self.side = min(self.width, self.height)
        self.east, self.north = self.horn(max(1, math.floor(SLOPE_WINDOW_M / (2 * self.side) + 1e-9)))
        self.slope = np.sqrt(self.east**2 + self.north**2)

    def horn(self, k):
        z, east, north = self.z, np.full(self.z.shape, np.nan), np.full(self.z.shape, np.nan)
        n, m, s = slice(0, -2 * k), slice(k, -k), slice(2 * k, None)
        east[m, m] = (z[n, s] + 2 * z[m, s] + z[s, s] - z[n, n] - 2 * z[m, n] - z[s, n]) / (8 * k * self.width)
        north[m, m] = (z[n, n] + 2 * z[n, m] + z[n, s] - z[s, n] - 2 * z[s, m] - z[s, s]) / (8 * k * self.height)
        east[np.isnan(z)] = north[np.isnan(z)] = np.nan
        return east, north

    def disc(self, radius):
        """Rows and columns beside a cell of all cells whose centres lie within the radius."""
        n = math.floor(radius / self.side) + 1
        rows, cols = (part.ravel() for part in np.mgrid[-n:n + 1, -n:n + 1])
        within = np.hypot(rows * self.height, cols * self.width) <= radius + 1e-9
        return rows[within], cols[within]

    def between(self, rows, cols):
        """Bilinear; missing neighbours drop out. Rows and columns are whole at the centres."""
        r, c = np.floor(rows).astype(int), np.floor(cols).astype(int)
        fr, fc, total, weight = rows - r, cols - c, 0.0, 0.0
        for dr, dc, share in ((0, 0, (1 - fr) * (1 - fc)), (0, 1, (1 - fr) * fc), (1, 0, fr * (1 - fc)), (1, 1, fr * fc)):
            z = self.at(self.z, r + dr, c + dc)
            share = np.where(np.isnan(z), 0.0, share)
            total, weight = total + share * np.nan_to_num(z), weight + share
        with np.errstate(invalid="ignore", divide="ignore"):
            return total / weight

    def at(self, values, rows, cols):
        """NaN outside the grid."""
        height, width = values.shape
        outside = (rows < 0) | (cols < 0) | (rows >= height) | (cols >= width)
        return np.where(outside, np.nan, values[np.clip(rows, 0, height - 1), np.clip(cols, 0, width - 1)])

    def centres(self, rows, cols):
        return self.transform.c + (cols + 0.5) * self.width, self.transform.f - (rows + 0.5) * self.height

    def cells_in(self, box):
        """Rows and columns of all cells whose centres lie in the box."""
        rows, cols = self.z.shape
        c0 = max(0, math.ceil((box[0] - self.transform.c) / self.width - 0.5))
        c1 = min(cols, math.floor((box[2] - self.transform.c) / self.width - 0.5) + 1)
        r0 = max(0, math.ceil((self.transform.f - box[3]) / self.height - 0.5))
        r1 = min(rows, math.floor((self.transform.f - box[1]) / self.height - 0.5) + 1)
        if c0 >= c1 or r0 >= r1:
            return np.empty(0, int), np.empty(0, int)
        return (part.ravel() for part in np.mgrid[r0:r1, c0:c1])


def stencil(shape, transform, x, y):
    """The four cells around each point and their weights; no weight at all outside the extent."""
    col, row = (x - transform.c) / transform.a - 0.5, (y - transform.f) / transform.e - 0.5
    outside = (col < -0.5) | (col > shape[1] - 0.5) | (row < -0.5) | (row > shape[0] - 0.5)
    col, row = np.clip(np.nan_to_num(col), 0, shape[1] - 1), np.clip(np.nan_to_num(row), 0, shape[0] - 1)
    c = np.minimum(np.floor(col), max(shape[1] - 2, 0)).astype(int)
    r = np.minimum(np.floor(row), max(shape[0] - 2, 0)).astype(int)
    fc, fr = col - c, row - r
    rows = np.stack([r, r, np.minimum(r + 1, shape[0] - 1), np.minimum(r + 1, shape[0] - 1)])
    cols = np.stack([c, np.minimum(c + 1, shape[1] - 1)] * 2)
    weights = np.stack([(1 - fr) * (1 - fc), (1 - fr) * fc, fr * (1 - fc), fr * fc])
    return rows, cols, np.where(outside, 0.0, weights)


def ground_at(roofs, terrain):
    """Median elevation along the outer rings, sampled every half cell; NaN without a sample."""
    pieces = [(i, edges_of([ring])) for i, roof in enumerate(roofs)
              for ring in ([roof.exterior] if roof.geom_type == "Polygon" else [part.exterior for part in roof.geoms])]
    roof = np.repeat([i for i, _ in pieces], [len(edges) for _, edges in pieces])
    edges = np.concatenate([edges for _, edges in pieces])
    dx, dy = edges[:, 2] - edges[:, 0], edges[:, 3] - edges[:, 1]
    steps = np.ceil(np.hypot(dx, dy) / (0.5 * terrain.side)).astype(int)
    edge = np.repeat(np.arange(len(edges)), steps)
    share = (np.arange(len(edge)) - np.repeat(np.cumsum(steps) - steps, steps)) / steps[edge]
    rows, cols, weights = stencil(terrain.z.shape, terrain.transform, edges[edge, 0] + share * dx[edge],
                                  edges[edge, 1] + share * dy[edge])
    z = terrain.z[rows, cols]
    weights = np.where(np.isnan(z), 0.0, weights)
    with np.errstate(invalid="ignore"):
        sampled = (np.nan_to_num(z) * weights).sum(axis=0) / weights.sum(axis=0)
    return pandas.Series(sampled).groupby(roof[edge]).median().reindex(range(len(roofs))).to_numpy()


# ---------------------------------------------------------------------------------------------------- water

def rain_of(path, start):
    # Not by rasterio, which spends seconds on ten thousand bands.
    source = gdal.Open(path)
    cube, missing = source.ReadAsArray().astype(float), source.GetRasterBand(1).GetNoDataValue()
    if missing is not None:
        cube[cube == missing] = np.nan
    transform = rasterio.Affine.from_gdal(*source.GetGeoTransform())
    if np.isnan(cube).any():
        sys.exit(f"bench_peer.py: {path} has missing cells; this script knows none")
    return cube, transform, pandas.date_range(start, periods=len(cube))


def tank_years(days):
    """Number of each day's complete tank year, -1 outside, and how many there are."""
    starts = np.flatnonzero((days.month == FIRST_MONTH) & (days.day == 1))
    end = days[-1] + pandas.Timedelta(days=1)
    if end.month == FIRST_MONTH and end.day == 1:
        starts = np.append(starts, len(days))
    year = np.full(len(days), -1)
    for i, (a, b) in enumerate(zip(starts[:-1], starts[1:])):
        year[a:b] = i
    return year, len(starts) - 1


USABLE_M3 = np.array([volume * count * (1 - OUTLET_M / height) for volume, _, height, count in TANKS])


def gardens_of(footprints, parcels, parcel):
    """The garden that each footprint is taken to water: no larger than what its parcel leaves open."""
    geod, degrees = parcels.crs.get_geod(), parcels.geometry.to_crs(parcels.crs.geodetic_crs)
    open_m2 = np.array([abs(geod.geometry_area_perimeter(shape)[0]) for shape in degrees])
    taken = np.flatnonzero((parcel >= 0) & footprints.counted.to_numpy())
    np.subtract.at(open_m2, parcel[taken], footprints.area_m2.to_numpy()[taken])
    return np.where(parcel >= 0, np.clip(open_m2[parcel], 0, GARDEN_M2), GARDEN_M2)


def run_water(cube, transform, days, x, y, area, garden_m2):
    """Day by day, all roofs and tanks at once: winter harvest and yield of the season by tank year."""
    year, years = tank_years(days)
    usable = USABLE_M3
    rows, cols, weights = stencil(cube.shape[1:], transform, x, y)
    roofs = len(x)
    left, soil, stock = np.zeros(roofs), np.zeros(roofs), np.zeros((roofs, len(usable)))
    dry_run = np.ones(roofs, bool)  # the day before was dry: the first wet day starts an event
    harvest, replaced = np.zeros((years, roofs)), np.zeros((years, roofs, len(usable)))
    home, need = PEOPLE * LITRES * HOME_SHARE / 1000, CROP * ET0_MM
    for day, month in enumerate(days.month):
        rain = (cube[day][rows, cols] * weights).sum(axis=0)
        wet = rain >= WET_DAY_MM
        left[wet & dry_run] = FIRST_FLUSH_MM
        dry_run = ~wet
        runoff = RUNOFF * rain
        diverted = np.minimum(left, runoff)
        left -= diverted
        inflow = area * CONNECTED * EFFICIENCY * (runoff - diverted) / 1000
        soil = np.minimum(SOIL_MM, soil + RAIN_EFFECT * rain)
        taken = np.minimum(soil, need)
        soil -= taken
        if year[day] < 0:
            continue
        if month in FILL_MONTHS:
            harvest[year[day]] += inflow
        if month in FORBEAR_MONTHS:
            demand = home + garden_m2 * (need - taken) / 1000 / IRRIGATION
            drawn = np.minimum(demand[:, None], stock)
            replaced[year[day]] += drawn
            stock = np.minimum(stock + inflow[:, None] - drawn, usable - drawn)
        elif inflow.any():
            stock = np.minimum(stock + inflow[:, None], usable)
    return harvest, replaced


def recommended(replaced):
    """The smallest tank worth its size that comes near the best of those; -1 where none replaces anything. With all
    dependable volumes."""
    dependable = np.quantile(replaced, 1 - RELIABILITY, axis=0, method="weibull")
    mean = replaced.mean(axis=0)
    judged = np.where(dependable.max(axis=1, keepdims=True) > 0, dependable, mean)
    worth = np.zeros(judged.shape, bool)
    worth[:, 0] = True
    last, last_usable = judged[:, 0], np.full(len(judged), USABLE_M3[0])
    for option in range(1, len(TANKS)):
        more = judged[:, option] - last
        step = np.maximum(0, USABLE_M3[option] - last_usable)
        better = (more > 1e-9) & (more >= MARGINAL_YIELD * step - 1e-9)
        worth[:, option] = better
        last, last_usable = np.where(better, judged[:, option], last), np.where(better, USABLE_M3[option], last_usable)
    best = np.where(worth, judged, 0).max(axis=1, keepdims=True)
    return np.where(best[:, 0] > 0, (worth & (judged >= STORAGE_SHARE * best)).argmax(axis=1), -1), dependable


# ---------------------------------------------------------------------------------------------------- pads

def rounded(values):
    return np.floor(np.asarray(values) * 1e6 + 0.5) / 1e6


def packing(count):
    return [1, 2, 2.1547, 2.4142, 2.7013, 3, 3][count - 1] if count <= 7 else math.sqrt(count / 0.68)


def radii(tank):
    """Of the ground of one tank, and of the circle on which all of them stand."""
    _, diameter, _, count = tank
    one = diameter / 2 + MARGIN_M
    return one, one if count == 1 else packing(count) * (diameter + MARGIN_M) / 2 + MARGIN_M / 2


WIDEST_M = max(radii(tank)[1] for tank in TANKS)


class Ground:
    """The cells on which pads and gardens of one parcel may lie, or of a roof without one, with their distances."""

    def __init__(self, basin, box, parcel):
        terrain = basin.terrain
        rows, cols = terrain.cells_in(box)
        x, y = terrain.centres(rows, cols)
        if parcel is not None:
            inside = contains(parcel, x, y)
            rows, cols, x, y = rows[inside], cols[inside], x[inside], y[inside]
        self.rows, self.cols, self.x, self.y = rows, cols, x, y
        self.z, self.slope = terrain.z[rows, cols], terrain.slope[rows, cols]
        reach = BUILDING_M + WIDEST_M
        self.houses = [basin.roofs[i]
                       for i in basin.near_roofs((box[0] - reach, box[1] - reach, box[2] + reach, box[3] + reach))]
        self.parcel, self.house_edges = parcel, edges_of(self.houses)
        self.parcel_edges = edges_of([] if parcel is None else [parcel])
        reach = STREAM_M + WIDEST_M
        near = basin.near_streams((box[0] - reach, box[1] - reach, box[2] + reach, box[3] + reach))
        self.stream_edges = edges_of([basin.streams[i] for i in near])
        self.built = self.covered(x, y)
        self.boundary, self.building, self.stream = self.distances(x, y, self.built)

    def covered(self, x, y):
        built = np.zeros(len(x), bool)
        for house in self.houses:
            built |= contains(house, x, y)
        return built

    def distances(self, x, y, built):
        """To the parcel's edge, the nearest footprint and the nearest stream."""
        return (distance_to_edges(x, y, self.parcel_edges),
                np.where(built, 0.0, distance_to_edges(x, y, self.house_edges)), distance_to_edges(x, y, self.stream_edges))

    def clear(self, x, y, radius):
        """Whether a circle lies in the parcel and keeps its distances."""
        boundary, building, stream = self.distances(x, y, self.covered(x, y))
        inside = np.ones(len(x), bool) if self.parcel is None else contains(self.parcel, x, y)
        return (inside & (boundary >= BOUNDARY_M + radius) & (building >= BUILDING_M + radius)
                & (stream >= STREAM_M + radius))


class Basin:
    def __init__(self, terrain, roofs, parcels, streams):
        self.terrain, self.roofs, self.parcels, self.streams = terrain, roofs, parcels, streams
        self.near_roofs, self.near_streams = Near(roofs), Near(streams)
        self.known = (-1, None)
        self.garden_step = max(1, math.floor(GARDEN_STEP_M / terrain.side + 1e-9))
        self.s0 = math.sqrt(RMSE_M**2 + terrain.step**2 / 12)

    def ground_of(self, roof, parcel):
        """The ground of the roof's parcel, kept for the next roof; whether each cell belongs to the roof; its distance;
        whether places beside the cells belong to it."""
        if parcel >= 0:
            if self.known[0] != parcel:
                self.known = (parcel, Ground(self, self.parcels[parcel].bounds, self.parcels[parcel]))
            ground = self.known[1]
            own = distance_to_area(ground.x, ground.y, self.roofs[roof])
            return ground, np.ones(len(ground.x), bool), own, lambda x, _: np.ones(len(x), bool)
        x0, y0, x1, y1 = self.roofs[roof].bounds
        ground = Ground(self, (x0 - MAX_REACH_M, y0 - MAX_REACH_M, x1 + MAX_REACH_M, y1 + MAX_REACH_M), None)
        far = 2 * MAX_REACH_M
        others = [self.roofs[i] for i in self.near_roofs((x0 - far, y0 - far, x1 + far, y1 + far)) if i != roof]

        def belongs(x, y, own):
            found = np.ones(len(x), bool)
            for other in others:
                found &= distance_to_area(x, y, other) >= own
            return found

        own = distance_to_area(ground.x, ground.y, self.roofs[roof])
        return (ground, belongs(ground.x, ground.y, own), own,
                lambda x, y: belongs(x, y, distance_to_area(x, y, self.roofs[roof])))

    def use_point(self, ground, belongs, distance, x, y):
        """The garden cell at the middle elevation, nearest to the roof's interior point: x, y, z; None without one."""
        g = self.garden_step
        garden = np.flatnonzero(belongs & (distance <= MAX_REACH_M) & (ground.slope <= GARDEN_SLOPE) & ~ground.built
                                & (ground.rows % g == 0) & (ground.cols % g == 0))
        if len(garden) == 0:
            return None
        z = np.sort(ground.z[garden])[(len(garden) + 1) // 2 - 1]
        level = garden[ground.z[garden] == z]
        off = np.hypot(ground.x[level] - x, ground.y[level] - y)
        best = level[np.lexsort((ground.cols[level], ground.rows[level], off))[0]]
        return ground.x[best], ground.y[best], z

    def together(self, ground, open_, tank):
        """All tanks on one circle around each cell's centre: which cells pass, and where the pad lies."""
        rho = radii(tank)[1]
        slope, z = ground.slope[open_], ground.z[open_]
        if tank[3] == 1:
            low, high = z - rho * slope, z + rho * slope
        else:
            rows, cols = self.terrain.disc(rho)
            under = self.terrain.at(self.terrain.z, ground.rows[open_, None] + rows, ground.cols[open_, None] + cols)
            low = np.minimum(under.min(axis=1), z - rho * slope)  # NaN where one is missing
            high = np.maximum(under.max(axis=1), z + rho * slope)
        passes = ((high - low <= MAX_CUT_M) & (ground.boundary[open_] >= BOUNDARY_M + rho)
                  & (ground.building[open_] >= BUILDING_M + rho) & (ground.stream[open_] >= STREAM_M + rho))
        return passes, low

    def in_a_row(self, ground, open_, tank, place, belongs):
        """The tanks beside each other along each cell's contour: which cells pass, and where the pad lies."""
        _, diameter, _, count = tank
        rho1, spacing, terrain = radii(tank)[0], diameter + MARGIN_M, self.terrain
        rows, cols, slope = ground.rows[open_], ground.cols[open_], ground.slope[open_]
        flat = slope == 0
        steep = np.where(flat, 1, slope)
        along_x = np.where(flat, 1.0, -terrain.north[rows, cols] / steep)
        along_y = np.where(flat, 0.0, terrain.east[rows, cols] / steep)
        off = (np.arange(count) - (count - 1) / 2) * spacing
        dx, dy = along_x[:, None] * off, along_y[:, None] * off
        row, col = rows[:, None] - dy / terrain.height, cols[:, None] + dx / terrain.width
        held = tuple(np.floor(np.floor((part + 0.5) * 1e6 + 0.5) / 1e6).astype(int) for part in (row, col))
        slopes, z = terrain.at(terrain.slope, *held), terrain.between(row, col)
        low, high = (z - rho1 * slopes).min(axis=1), (z + rho1 * slopes).max(axis=1)
        passes = (slopes <= MAX_SLOPE).all(axis=1) & (high - low <= MAX_CUT_M)
        asked = np.flatnonzero(passes)
        x, y = (ground.x[open_][asked, None] + dx[asked]).ravel(), (ground.y[open_][asked, None] + dy[asked]).ravel()
        stands = belongs(x, y) & place(x, y, rho1)
        passes[asked] = stands.reshape(-1, count).all(axis=1)
        return passes, low

    def pad(self, ground, belongs, distance, use, eave, tank, row_belongs):
        """Elevation and delivery of the best pad for one tank option; None where no cell passes."""
        count, span = tank[3], (tank[3] - 1) * (tank[1] + MARGIN_M)
        open_ = np.flatnonzero(belongs & (distance <= MAX_REACH_M) & (ground.slope <= MAX_SLOPE))
        if len(open_) == 0:
            return None
        passes, zp = self.together(ground, open_, tank)
        stands = [(open_[passes], zp[passes], 0)]
        if count > 1:
            passes, zp = self.in_a_row(ground, open_, tank, ground.clear, row_belongs)
            stands.append((open_[passes], zp[passes], span))
        cell = np.concatenate([cells for cells, _, _ in stands])
        zp = np.concatenate([low for _, low, _ in stands])
        span = np.concatenate([np.full(len(cells), length) for cells, _, length in stands])
        slope, fill_m, height = ground.slope[cell], distance[cell], tank[2]
        margin = eave - (zp + height) - FILL_LOSS_M - FILL_GRADIENT * fill_m
        head = zp + OUTLET_M - (use[2] + TAP_M)
        keep = (margin >= -MAX_LIFT_M) & (head >= -MAX_FEED_LIFT_M)
        if not keep.any():
            return None
        cell, slope, fill_m, zp, span, margin, head = (
            part[keep] for part in (cell, slope, fill_m, zp, span, margin, head))
        pipe = SLACK * np.sqrt((ground.x[cell] - use[0]) ** 2 + (ground.y[cell] - use[1]) ** 2 + (zp - use[2]) ** 2)
        pressure = KPA_PER_M * (head - FRICTION * pipe) - FILTER_KPA
        fill_sd = np.sqrt(self.s0**2 + (slope * self.terrain.side) ** 2 / 12 + self.s0**2 + EAVE_SD_M**2)
        shown, fill = rounded(pressure), rounded(margin)
        feed = np.where(shown >= REQUIRED_KPA, 0, np.where(shown >= MINIMUM_KPA, 1, 2))
        likely = np.where(fill >= rounded(SURE_SDS * fill_sd), 1, 2)
        stage = np.where(fill < 0, 5, np.where(feed < 2, likely, likely + 2))
        lift = np.where(stage == 5, np.floor(fill / LIFT_STEP_M), 0)
        cap = REQUIRED_KPA + SURE_SDS * KPA_PER_M * self.s0 * math.sqrt(2)
        steps = np.where(feed < 2, np.floor(rounded(np.minimum(pressure, cap)) / STEP_KPA), 0)
        order = np.lexsort((span > 0, ground.cols[cell], ground.rows[cell], -shown,
                            rounded(FILL_WEIGHT * fill_m + pipe + span), -steps, feed, -lift, stage))
        best = order[0]
        return zp[best], "pumped_fill" if stage[best] == 5 else DELIVERY[feed[best]]


def site_roof(basin, roof, parcel, place, eave, tank):
    """The recommended option or the next smaller one with a pad: option, elevation, delivery."""
    if math.isnan(eave):
        return tank, None, "no_pad"
    ground, belongs, distance, row_belongs = basin.ground_of(roof, parcel)
    use = basin.use_point(ground, belongs, distance, *place)
    for option in range(tank, -1, -1) if use is not None else ():
        found = basin.pad(ground, belongs, distance, use, eave, TANKS[option], row_belongs)
        if found is not None:
            return option, *found
    return tank, None, "no_pad"


def main():
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("basin")
    words.add_argument("out")
    words.add_argument("--start", default="1991-01-01")
    words = words.parse_args()
    terrain = Terrain(os.path.join(words.basin, "dem.tif"))
    footprints = read_layer(os.path.join(words.basin, "footprints.gpkg"))
    parcels = read_layer(os.path.join(words.basin, "parcels.gpkg"))
    streams = read_layer(os.path.join(words.basin, "streams.gpkg"))
    if not (footprints.crs == parcels.crs == streams.crs == terrain.crs):
        sys.exit("bench_peer.py: the layers have different coordinate reference systems; this script wants one")
    interior = roofs_of(footprints)
    ok = np.flatnonzero(footprints.ok)
    parcel = parcel_of(interior, list(parcels.geometry))
    cube, transform, days = rain_of(os.path.join(words.basin, "rain_daily.tif"), words.start)
    x, y, area = (footprints[name].to_numpy()[ok] for name in ("x", "y", "area_m2"))
    harvest, replaced = run_water(cube, transform, days, x, y, area, gardens_of(footprints, parcels, parcel)[ok])
    tank, dependable = recommended(replaced)
    harvest_dependable = np.quantile(harvest, 1 - RELIABILITY, axis=0, method="weibull")
    roofs = list(footprints.geometry)
    eave = ground_at([roofs[i] for i in ok], terrain) + EAVE_M
    basin = Basin(terrain, roofs, list(parcels.geometry), list(streams.geometry))
    rows = [[fid, "", "", "", "", "" if np.isnan(area) else area, ""] for fid, area in zip(footprints.fid, footprints.area_m2)]
    for k in np.argsort(parcel[ok], kind="stable"):  # roofs of a parcel one after the other
        row = rows[ok[k]]
        row[6] = harvest_dependable[k]
        if tank[k] < 0:
            row[4] = "no_use"
            continue
        option, elevation, row[4] = site_roof(basin, ok[k], parcel[ok[k]], (x[k], y[k]), eave[k], tank[k])
        row[1], row[2] = TANKS[option][0] * TANKS[option][3], dependable[k, option]
        row[3] = "" if elevation is None else elevation
    with open(words.out, "w", newline="") as out:
        table = csv.writer(out)
        table.writerow(["roof_id", "storage_m3", "replaced_dependable_m3", "pad_elev_m", "delivery", "plan_area_m2",
                        "harvest_dependable_m3"])
        table.writerows(rows)


if __name__ == "__main__":
    main()
