// SPDX-License-Identifier: MIT
using Fumecast.Motion;

namespace Fumecast.Tests.Unit.Forecast;

/// <summary>The obvious motion planner over a whole path in memory, as a referee: junction limits, one pass back, one forth, trapezoids.</summary>
/// <remarks>Formulas: gcode reference, sections on limits, look-ahead and junction speed; written apart from the code under test.</remarks>
internal static class PlainPlanner
{
    /// <summary>Volume in each bin of time and the total time.</summary>
    public static (List<double> BinsMm3, double TotalS) Flow(PrintedPath path, MotionLimits limits, double filamentMm2, double binS)
    {
        var pieces = path.Pieces;
        var count = pieces.Count;
        var unit = new (double X, double Y, double Z, double E)[count];
        var cap = new double[count];
        var accel = new double[count];
        var last = path.Start;
        for (var i = 0; i < count; i++)
        {
            var piece = pieces[i];
            var d = piece.LengthMm;
            unit[i] = ((piece.X - last.X) / d, (piece.Y - last.Y) / d, (piece.Z - last.Z) / d, piece.EMm / d);
            cap[i] = Math.Min(Math.Min(piece.Feed / 60, limits.MaxPathSpeedMmPerS), Axes(limits.MaxFeedMmPerS, unit[i]));
            accel[i] = Math.Min(limits.PrintAccelMmPerS2, Axes(limits.MaxAccelMmPerS2, unit[i]));
            last = (piece.X, piece.Y, piece.Z);
        }

        var speed = new double[count + 1];
        for (var i = 1; i < count; i++)
        {
            speed[i] = Math.Min(Math.Min(cap[i - 1], cap[i]), Junction(limits, unit[i - 1], unit[i], Math.Min(accel[i - 1], accel[i]), pieces[i - 1].LengthMm, pieces[i].LengthMm));
        }

        for (var i = count - 1; i >= 0; i--)
        {
            speed[i] = Math.Min(speed[i], Math.Sqrt(speed[i + 1] * speed[i + 1] + 2 * accel[i] * pieces[i].LengthMm));
        }

        for (var i = 0; i < count; i++)
        {
            speed[i + 1] = Math.Min(speed[i + 1], Math.Sqrt(speed[i] * speed[i] + 2 * accel[i] * pieces[i].LengthMm));
        }

        var bins = new List<double>();
        var time = 0.0;
        for (var i = 0; i < count; i++)
        {
            var (d, a) = (pieces[i].LengthMm, accel[i]);
            var mm3PerMm = pieces[i].EMm * filamentMm2 / d;
            var peak = Math.Min(cap[i], Math.Sqrt((speed[i] * speed[i] + speed[i + 1] * speed[i + 1]) / 2 + a * d));
            var up = (peak - speed[i]) / a;
            var down = (peak - speed[i + 1]) / a;
            var cruise = Math.Max(0, d - (peak * peak - speed[i] * speed[i]) / (2 * a) - (peak * peak - speed[i + 1] * speed[i + 1]) / (2 * a)) / peak;
            Put(bins, binS, ref time, up, speed[i], a, mm3PerMm);
            Put(bins, binS, ref time, cruise, peak, 0, mm3PerMm);
            Put(bins, binS, ref time, down, peak, -a, mm3PerMm);
        }

        return (bins, time);
    }

    private static void Put(List<double> bins, double binS, ref double time, double duration, double speed, double accel, double mm3PerMm)
    {
        for (var done = 0.0; done < duration;)
        {
            var bin = (int)(time / binS);
            var step = Math.Min(duration - done, (bin + 1) * binS - time);
            while (bins.Count <= bin)
            {
                bins.Add(0);
            }

            bins[bin] += mm3PerMm * (speed + accel * (done + step / 2)) * step;
            done = step < duration - done ? done + step : duration;
            time = step < duration - done ? time + step : Math.Max(time + step, time);
        }
    }

    private static double Axes(PerAxis limit, (double X, double Y, double Z, double E) u) =>
        Math.Min(Math.Min(limit.X / Math.Abs(u.X), limit.Y / Math.Abs(u.Y)), Math.Min(limit.Z / Math.Abs(u.Z), limit.E / Math.Abs(u.E)));

    private static double Junction(MotionLimits limits, (double X, double Y, double Z, double E) u, (double X, double Y, double Z, double E) w, double accel, double before, double after)
    {
        if (limits.Junction == JunctionModel.PerAxisJerk)
        {
            return Axes(limits.JerkMmPerS, (w.X - u.X, w.Y - u.Y, w.Z - u.Z, w.E - u.E));
        }

        // Half the turn by its sine, which keeps its digits for gentle turns: 2 sin(turn / 2) = |w - u|.
        var half = Math.Asin(Math.Min(1, Math.Sqrt((w.X - u.X) * (w.X - u.X) + (w.Y - u.Y) * (w.Y - u.Y) + (w.Z - u.Z) * (w.Z - u.Z)) / 2));
        var circle = Math.Cos(half) / Math.Max(1e-300, 2 * Math.Sin(half / 2) * Math.Sin(half / 2));
        if (limits.Junction == JunctionModel.Deviation)
        {
            return Math.Sqrt(accel * limits.DeviationMm * circle);
        }

        var squareCorner = limits.SquareCornerMmPerS * Math.Sqrt((Math.Sqrt(2) - 1) * circle);
        var middle = Math.Sqrt(0.5 * accel * Math.Min(before, after) / Math.Max(1e-300, Math.Tan(half)));
        return Math.Min(Math.Min(squareCorner, middle), limits.ExtruderStepMmPerS / Math.Max(1e-300, Math.Abs(w.E - u.E)));
    }
}
