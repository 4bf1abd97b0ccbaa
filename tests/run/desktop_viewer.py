# Opens the layers of a GeoPackage in a desktop viewer without a screen, as someone would by double click, and prints what
# it makes of their styles and how many pixels of which colour a map of one box has.
#   desktop_viewer.py FILE.gpkg SIZE_M
# Prints lines: layer NAME RENDERER RULES LABELS ALIAS_OF_THE_FIRST_COLUMN; told NAME TITLE | TIP of the first feature, and
# of the parcel ranked first; table NAME ALIAS_OF_THE_SECOND_COLUMN; then: pixels #rrggbb COUNT.
import os
import sys
from collections import Counter

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
from qgis.core import (
    QgsApplication,
    QgsExpression,
    QgsMapRendererParallelJob,
    QgsMapSettings,
    QgsRectangle,
    QgsVectorLayer,
)
from qgis.PyQt.QtCore import QSize
from qgis.PyQt.QtGui import QColor

path, size_m = sys.argv[1], float(sys.argv[2])
application = QgsApplication([], False)
application.initQgis()
layers = []
for name in ["pads", "use_points", "pipes", "pad_ground", "reaches", "roofs", "parcels"]:
    layer = QgsVectorLayer(path + "|layername=" + name, name, "ogr")
    renderer = layer.renderer().type()
    rules = len(layer.renderer().rootRule().children()) if renderer == "RuleRenderer" else 0
    print("layer", name, renderer, rules, int(layer.labelsEnabled()), layer.attributeAlias(1))
    layers.append(layer)
ranked = next(f for f in layers[-1].getFeatures() if f["rank"] == 1)
first = ranked.geometry().centroid().asPoint()
for layer in layers:
    context = layer.createExpressionContext()
    context.setFeature(ranked if layer.name() == "parcels" else next(layer.getFeatures()))
    title = QgsExpression(layer.displayExpression()).evaluate(context)
    tip = QgsExpression.replaceExpressionText(layer.mapTipTemplate(), context)
    print("told", layer.name(), title, "|", tip.replace("\n", " "))
for name in ["storage_curve", "parcel_options"]:
    layer = QgsVectorLayer(path + "|layername=" + name, name, "ogr")
    print("table", name, layer.attributeAlias(2))
settings = QgsMapSettings()
settings.setLayers(layers)
settings.setDestinationCrs(layers[0].crs())
settings.setExtent(QgsRectangle(first.x() - size_m / 2, first.y() - size_m / 2, first.x() + size_m / 2, first.y() + size_m / 2))
settings.setOutputSize(QSize(800, 800))
settings.setBackgroundColor(QColor("white"))
job = QgsMapRendererParallelJob(settings)
job.start()
job.waitForFinished()
image = job.renderedImage()
if len(sys.argv) > 3:
    image.save(sys.argv[3])
colours = Counter(QColor(image.pixel(x, y)).name() for x in range(800) for y in range(800))
for colour, count in colours.most_common(400):
    print("pixels", colour, count)
del job, layers, layer, image  # before the viewer goes
application.exitQgis()
