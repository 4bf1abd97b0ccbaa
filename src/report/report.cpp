#include "eaveshed/report/report.hpp"

#include "eaveshed/report/basin_map.hpp"
#include "eaveshed/report/basin_page.hpp"
#include "eaveshed/report/report_folder.hpp"

namespace eaveshed {

namespace {

constexpr double kMapPixelsPerMm = 4.0;

std::string page_of_basin(const ReportRequest& request, const ResultReader& result, const BasinRows& rows,
                          Findings& findings) {
    BasinShapes shapes = read_shapes(request.file, rows);
    const Box extent = shapes.extent();
    std::string map;
    if (!extent.empty()) {
        const MapFrame frame = basin_frame(extent, shapes.crs);
        read_ground(shapes, rows, request.project, frame.shown(), frame.metres_per_mm() / kMapPixelsPerMm, findings);
        map = basin_map(rows, shapes, frame);
    }
    return basin_page(rows, map, shapes.left_out, recorded_inputs(result));
}

}  // namespace

ReportDone write_report(const ReportRequest& request, Findings& findings) {
    const ResultReader result(request.file, findings);
    ReportFolder folder(request.folder, request.overwrite);
    const BasinRows rows = read_basin(result, request.file, findings);
    ReportDone done;
    folder.write("index.html", page_of_basin(request, result, rows, findings));
    folder.publish();
    done.files.push_back(request.folder + "/index.html");
    return done;
}

}  // namespace eaveshed
