#pragma once
/// Distribution of the number of lives that end, as a function of use, for a position that starts
/// new: what a row of posterior nodes with one shape shares, in units of the scale.

#include <array>
#include <cstddef>
#include <limits>
#include <span>
#include <vector>

#include "stocking/quadrature.hpp"

namespace shearpin::stocking {

/// How finely a table is worked out: relative error of a tail about 1e-10, 1e-7, 1e-4.
enum class TableQuality { fine, medium, rough };

/// What a table has to give.
struct CountTableSpec {
  double shape;                                          ///< in [0.05, 200]
  double z_max;                                          ///< how far it reaches, > 0
  double cut = std::numeric_limits<double>::infinity();  ///< every life ends at this age
  /// Tails are worked out until P(N(z) >= k) < limit for each of these (z rising).
  struct Limit {
    double z;
    double tail_cutoff;
  };
  std::vector<Limit> limits = {};           ///< none: 1e-13 at z_max
  TableQuality first = TableQuality::fine;  ///< on the first panel (never rough)
  TableQuality later = TableQuality::fine;  ///< past it
  std::size_t most = 1000;                  ///< no more tails than this; expected() needs them all
};

/// Past it the panels widen, and the series for very many lives may be good enough.
inline constexpr double kLongestTable = 64;

/// Tails P(N(z) >= k) of the count of ended lives within z for Weibull lives of scale 1, each cut
/// at age `cut` if it has one (planned renewal: ends there for certain and counts, from z = cut
/// on). Method: the renewal equation P(N(z) >= k+1) = integral P(N(z-u) >= k) dF(u), solved by
/// collocation on panels of Chebyshev points. On the first panel the tails are power series in
/// z^shape, so it is laid out in w = z^shape, where one set of moments serves every k.
/// Accuracy: 1e-9 for shape 0.5 to 8 (tests/unit/stocking/test_count_table.cpp, against numerical
/// inversion of the Laplace transform).
class CountTable {
 public:
  static constexpr std::size_t kFirstNodes = 12;

  explicit CountTable(const CountTableSpec& spec);

  /// How far a first panel reaches at most.
  static double widest_first(double shape);
  /// Width of the later panels: the scale on which density and tails change.
  double piece() const { return piece_; }

  /// Number of tails kept; the next one is below the cutoff of every limit.
  std::size_t order() const { return order_; }

  /// out[k-1] += weight x P(N(z) >= k) for k = 1 .. min(order, out.size()), up to where it falls
  /// below `tail_cutoff`. 0 <= z <= z_max.
  void add_tails(double z, double weight, double tail_cutoff, std::span<double> out) const;

  /// Expected count M(z), and its density dM/dz for z in (0, z_max].
  double expected(double z) const;
  double expected_density(double z) const;

  /// The first panel reaches to first_z(); on it tails are polynomials in z^shape / first_w().
  double first_z() const { return panels_.front().width; }
  double first_w() const { return first_w_; }
  /// Of the tails there as polynomials in x = z^shape / first_w(): how many of the terms, a
  /// multiple of 4, hold all but `error`.
  std::size_t terms_for(double x, double error) const;
  /// kFirstNodes coefficients of P(N >= k) there, constant first; 1 <= k <= order().
  const double* coefficients(std::size_t k) const {
    return coefficients_.data() + (k - 1) * kFirstNodes;
  }

 private:
  struct Panel {
    double start;
    double width;
    double power;  // z = start + width x^power, x in [0, 1]
    std::size_t first_node;
    std::size_t nodes;

    double end() const { return start + width; }
  };
  // One equation: the integral as a sum over node values from `first` on.
  struct Row {
    std::size_t first = 0;
    std::vector<double> factors;
  };

  bool is_cut() const { return cut_ < z_max_ * (1 + 1e-9); }
  void add_panel(double start, double width, double power, std::size_t nodes);
  void lay_panels(std::size_t nodes);
  void lay_cut_panels(std::size_t nodes);
  void solve_first_panel(const CountTableSpec& spec);
  void solve_others();
  bool enough() const;
  void finish();
  void find_largest();
  std::vector<Row> direct_rows() const;
  std::vector<Row> lagged_rows() const;
  Row row_of(double z) const;
  void add_points(const SplitPoint* points, std::size_t count, std::span<double> row) const;
  std::size_t panel_of(double z) const;
  double place_in(const Panel& panel, double z) const;
  std::vector<double> nodes_of(const Panel& panel) const;
  double density(double u) const;

  double shape_;
  double cut_;
  double z_max_;
  double piece_;
  std::size_t points_;
  std::size_t most_;
  bool widening_ = false;  // later panels widen from one to the next
  Grading grading_;
  double first_w_ = 0;
  std::size_t order_ = 0;
  std::size_t node_count_ = 0;
  std::vector<Panel> panels_;
  std::vector<CountTableSpec::Limit> limits_;
  std::vector<std::size_t> limit_nodes_;       // a node at or above each limit
  std::vector<double> coefficients_;           // order x kFirstNodes
  std::array<double, kFirstNodes> largest_{};  // of each power's coefficients
  std::vector<double> values_;                 // order x node_count_, while solving
  std::vector<double> centred_;                // by panel: order x its nodes
  std::vector<double> expected_;               // by node
};

}  // namespace shearpin::stocking
