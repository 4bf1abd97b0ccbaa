// Plane points, rings and the few tests that placing buildings needs. Rings are stored open (last point not repeated).
#pragma once
#include <vector>

namespace demo {

struct Point {
    double x = 0.0;
    double y = 0.0;
    friend bool operator==(const Point&, const Point&) = default;
};

using Ring = std::vector<Point>;
using Line = std::vector<Point>;

struct Polygon {
    Ring outer;
    std::vector<Ring> holes;
};

inline Point operator+(Point a, Point b) {
    return {a.x + b.x, a.y + b.y};
}
inline Point operator-(Point a, Point b) {
    return {a.x - b.x, a.y - b.y};
}
inline Point operator*(Point a, double f) {
    return {a.x * f, a.y * f};
}
inline double dot(Point a, Point b) {
    return a.x * b.x + a.y * b.y;
}
inline Point turned_left(Point a) {
    return {-a.y, a.x};
}
double length(Point a);
Point unit(Point a);

double segment_distance(Point p, Point a, Point b);
double line_length(const Line& line);
double ring_area(const Ring& ring);  // positive
bool ring_contains(const Ring& ring, Point p);
double ring_edge_distance(const Ring& ring, Point p);
Point ring_middle(const Ring& ring);  // mean of the vertices
Ring rounded_ring(const Ring& ring);  // to centimetres, as surveyors write them

// A rectangle turned in the plane: the space one building takes up.
struct Box {
    Point centre;
    Point along{1.0, 0.0};  // unit vector of the long side
    double half_length = 0.0;
    double half_width = 0.0;
};
Point box_to_world(const Box& box, double along, double across);
Ring box_ring(const Box& box);
bool boxes_apart(const Box& a, const Box& b, double gap);  // true when a line with a free strip of `gap` parts them

}  // namespace demo
