// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Motion;

namespace Fumecast.Tests.Referees;

/// <summary>A print the slow, obvious way: text split at blanks, the whole run planned at once, every phase integrated into every bin.</summary>
/// <remarks>Knows G0 and G1 with absolute X Y Z, relative E and F, nothing else. Kept for ever as the referee of the fast path.</remarks>
internal static class ObviousPrint
{
    /// <summary>Deposit in each bin [mm3], and the duration [s].</summary>
    public static (double[] BinsMm3, double TotalS) Run(string program, MotionLimits limits, double areaMm2, double binS)
    {
        var deposits = new List<(double Mm3, double FromMm)>();
        var moves = new List<MoveRequest>();
        double x = 0, y = 0, z = 0, f = 0, fed = 0, most = 0;
        foreach (var line in program.Split('\n', StringSplitOptions.RemoveEmptyEntries).Where(line => line[0] == 'G'))
        {
            double? nx = null, ny = null, nz = null, e = null;
            foreach (var word in line.Split(' ').Skip(1))
            {
                var value = double.Parse(word.AsSpan(1), CultureInfo.InvariantCulture);
                switch (word[0])
                {
                    case 'X': nx = value; break;
                    case 'Y': ny = value; break;
                    case 'Z': nz = value; break;
                    case 'E': e = value; break;
                    case 'F': f = value / 60; break;
                }
            }

            var (dx, dy, dz, de) = ((nx ?? x) - x, (ny ?? y) - y, (nz ?? z) - z, e ?? 0);
            (x, y, z) = (nx ?? x, ny ?? y, nz ?? z);
            var length = Math.Sqrt((dx * dx) + (dy * dy) + (dz * dz));
            if (length == 0 && de == 0)
            {
                continue;
            }

            var isStill = length == 0;
            moves.Add(new MoveRequest
            {
                DxMm = dx,
                DyMm = dy,
                DzMm = dz,
                DeMm = de,
                SpeedMmPerS = f,
                Kind = isStill ? de > 0 ? MoveKind.Feed : MoveKind.Retract : de > 0 ? MoveKind.Print : de < 0 ? MoveKind.Wipe : MoveKind.Travel,
            });
            var fresh = Math.Max(0, fed + de - most);
            fed += de;
            most = Math.Max(most, fed);
            var path = isStill ? Math.Abs(de) : length;
            deposits.Add((fresh * areaMm2, de > 0 ? path * (1 - (fresh / de)) : 0));
        }

        var bins = new List<double>();
        var now = 0.0;
        var timed = ObviousPlanner.Plan(limits, moves);
        for (var i = 0; i < timed.Count; i++)
        {
            var move = timed[i];
            var (mm3, fromMm) = deposits[i];
            for (var bin = (int)(now / binS); bin * binS < now + move.DurationS; bin++)
            {
                while (bins.Count <= bin)
                {
                    bins.Add(0);
                }

                if (mm3 > 1e-12)
                {
                    var start = Math.Max(fromMm, Path(move, Math.Max(0, (bin * binS) - now)));
                    var end = Math.Max(fromMm, Path(move, Math.Min(move.DurationS, ((bin + 1) * binS) - now)));
                    bins[bin] += mm3 * (end - start) / (move.LengthMm - fromMm);
                }
            }

            now += move.DurationS;
        }

        return ([.. bins], now);
    }

    private static double Path(in TimedMove move, double t)
    {
        var a = move.AccelMmPerS2;
        if (t <= move.SpeedUpS)
        {
            return (move.StartMmPerS * t) + (a * t * t / 2);
        }

        var path = (move.StartMmPerS + move.PeakMmPerS) / 2 * move.SpeedUpS;
        t -= move.SpeedUpS;
        if (t <= move.CruiseS)
        {
            return path + (move.PeakMmPerS * t);
        }

        path += move.PeakMmPerS * move.CruiseS;
        t -= move.CruiseS;
        return path + (move.PeakMmPerS * t) - (a * t * t / 2);
    }
}
