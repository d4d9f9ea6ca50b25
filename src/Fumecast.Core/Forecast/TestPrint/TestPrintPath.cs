// SPDX-License-Identifier: MIT
namespace Fumecast.Forecast.TestPrint;

/// <summary>Takes the points of a test print's path in order.</summary>
internal interface ITestPrintSink
{
    /// <summary>The path starts here, at the height of the first layer; nothing is printed on the way to it.</summary>
    void Start(double xMm, double yMm, double zMm);

    /// <summary>A layer, or a turn of a helix, begins.</summary>
    void Layer(int number, double zMm);

    /// <summary>A straight piece to here, of a length that is that of the written coordinates.</summary>
    void Piece(double xMm, double yMm, double zMm, double lengthMm, bool firstLayer);
}

/// <summary>Walks the path of a test print: one line without a gap from the first to the last millimetre.</summary>
/// <remarks>
/// <para>A straight run leads from outside into the first layer, a flat spiral that winds inwards. Each further layer winds outwards or
/// inwards in turn, always anticlockwise, and ends with one turn on its edge that climbs to the next layer.</para>
/// <para>Why that turn: where a spiral ends, its edge lies one strand further out on one side of the seam than on the other. The climbing turn
/// fills exactly this wedge. At an angle where it has climbed the share s of a layer, the spiral below lies (1 - s) of a strand aside, and the one
/// above s of a strand: side distance over strand plus height distance over layer is 1 everywhere, as for any two neighbours.</para>
/// <para>A single wall is the same with climbing turns only, above a base of one outward winding.</para>
/// </remarks>
internal static class TestPrintPath
{
    private const double PlaneUnit = 1e4;
    private const double HeightUnit = 1e5;

    /// <summary>Walks the path until its length is used up.</summary>
    public static void Walk<TSink>(TestPrintPlan plan, ref TSink sink) where TSink : struct, ITestPrintSink, allows ref struct
    {
        var walker = new Walker(plan);
        walker.LeadIn(ref sink);
        foreach (var winding in Windings(plan))
        {
            if (!walker.Wind(winding, ref sink))
            {
                return;
            }
        }
    }

    private static IEnumerable<Winding> Windings(TestPrintPlan plan)
    {
        var (inner, outer, layer) = (plan.InnerRadiusMm, plan.OuterRadiusMm, plan.Request.LayerMm);
        var z = plan.FirstLayerMm;
        yield return new(plan.FirstLayerRadiusMm, inner, z, z, plan.FirstLayerTurns, 1, FirstLayer: true);
        for (var number = 2; ; number++)
        {
            var isOutward = number % 2 == 0;
            var (from, to) = isOutward ? (inner, outer) : (outer, inner);
            yield return new(from, from, z, z + layer, 1, number);
            z = plan.FirstLayerMm + (number - 1) * layer;
            if (plan.Shape == TestPrintShape.Ring || number == 2)
            {
                yield return new(from, to, z, z, plan.Turns, null);
            }

            if (plan.Shape == TestPrintShape.SingleWall)
            {
                // From the base on, every turn climbs on the outer radius.
                inner = outer;
            }
        }
    }

    /// <summary>Some turns with radius and height changing evenly.</summary>
    private readonly record struct Winding(double FromMm, double ToMm, double FromZ, double ToZ, int Turns, int? Layer, bool FirstLayer = false);

    private struct Walker(TestPrintPlan plan)
    {
        private double _x;
        private double _y;
        private double _z;
        private double _leftMm = plan.UpperLengthMm;

        /// <summary>Where the first layer's spiral begins: so that the run into it comes from a corner of the bed, where there is room.</summary>
        private readonly double _startAngle = Math.PI / 4 + Math.Atan2(plan.LeadInMm, plan.FirstLayerRadiusMm);

        public void LeadIn<TSink>(ref TSink sink) where TSink : struct, ITestPrintSink, allows ref struct
        {
            var radius = plan.FirstLayerRadiusMm;
            var (sin, cos) = Math.SinCos(_startAngle);
            _x = Round(plan.CentreXMm + radius * cos + plan.LeadInMm * sin, PlaneUnit);
            _y = Round(plan.CentreYMm + radius * sin - plan.LeadInMm * cos, PlaneUnit);
            _z = Round(plan.FirstLayerMm, HeightUnit);
            sink.Start(_x, _y, _z);
            sink.Layer(1, _z);
            Go(plan.CentreXMm + radius * cos, plan.CentreYMm + radius * sin, plan.FirstLayerMm, firstLayer: true, ref sink);
        }

        /// <summary>Walks a winding; false when the length is used up.</summary>
        public bool Wind<TSink>(Winding winding, ref TSink sink) where TSink : struct, ITestPrintSink, allows ref struct
        {
            if (winding.Layer is int number && !winding.FirstLayer)
            {
                sink.Layer(number, winding.ToZ);
            }

            var whole = 2 * Math.PI * winding.Turns;
            for (var turned = 0.0; turned < whole;)
            {
                var radius = winding.FromMm + (winding.ToMm - winding.FromMm) * turned / whole;
                var step = CornerLimits.PieceMm(radius, plan.TurnLimitRad, plan.Request.WidthMm) / radius;
                // The last two pieces share what is left, so that there is none of a hair's length.
                var left = whole - turned;
                turned = left <= step ? whole : turned + Math.Min(step, left / 2);
                var share = turned / whole;
                radius = winding.FromMm + (winding.ToMm - winding.FromMm) * share;
                var (sin, cos) = Math.SinCos(_startAngle + turned);
                var z = winding.FromZ + (winding.ToZ - winding.FromZ) * share;
                if (!Go(plan.CentreXMm + radius * cos, plan.CentreYMm + radius * sin, z, winding.FirstLayer, ref sink))
                {
                    return false;
                }
            }

            return true;
        }

        private bool Go<TSink>(double x, double y, double z, bool firstLayer, ref TSink sink) where TSink : struct, ITestPrintSink, allows ref struct
        {
            x = Round(x, PlaneUnit);
            y = Round(y, PlaneUnit);
            z = Round(z, HeightUnit);
            var length = Length(x - _x, y - _y, z - _z);
            var goesOn = true;
            if (!firstLayer)
            {
                if (length >= _leftMm)
                {
                    goesOn = false;
                    var share = _leftMm / length;
                    if (share < 0.5)
                    {
                        // Too short a piece could not keep filament per length to the digits of its E word.
                        return false;
                    }

                    x = Round(_x + (x - _x) * share, PlaneUnit);
                    y = Round(_y + (y - _y) * share, PlaneUnit);
                    z = Round(_z + (z - _z) * share, HeightUnit);
                    length = Length(x - _x, y - _y, z - _z);
                }

                _leftMm -= length;
            }

            if (length > 0)
            {
                sink.Piece(x, y, z, length, firstLayer);
            }

            (_x, _y, _z) = (x, y, z);
            return goesOn;
        }

        private static double Round(double value, double unit) => Math.Round(value * unit) / unit;

        private static double Length(double dx, double dy, double dz) => Math.Sqrt(dx * dx + dy * dy + dz * dz);
    }
}
