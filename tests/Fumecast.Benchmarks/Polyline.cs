// SPDX-License-Identifier: MIT
using Fumecast.Motion;

namespace Fumecast.Benchmarks;

/// <summary>A deterministic print without a file: wavy perimeters of short segments, serpentine infill, retractions and hops.</summary>
internal static class Polyline
{
    /// <summary>Makes about as many moves as asked.</summary>
    public static MoveRequest[] Make(int moves)
    {
        var result = new List<MoveRequest>(moves + 512);
        var (x, y) = (0.0, 0.0);
        while (result.Count < moves)
        {
            // Three wavy loops of about 1.1 mm pieces.
            for (var loop = 0; loop < 3; loop++)
            {
                const int Pieces = 180;
                for (var i = 0; i <= Pieces; i++)
                {
                    var angle = Math.Tau * i / Pieces;
                    var radius = 30 - (0.45 * loop) + (2 * Math.Sin(9 * angle)) + (0.3 * Math.Sin(31 * angle));
                    To(radius * Math.Cos(angle), radius * Math.Sin(angle), i > 0, loop == 0 ? 40 : 60);
                }
            }

            // Serpentine infill, 0.45 mm apart.
            Filament(-0.8);
            for (var line = -60; line <= 60; line++)
            {
                var half = Math.Sqrt(Math.Max(1, (28 * 28) - (0.2025 * line * line)));
                var side = line % 2 == 0 ? 1 : -1;
                To(-side * half, 0.45 * line, line > -60, 120);
                if (line == -60)
                {
                    Filament(0.8);
                }

                To(side * half, 0.45 * line, true, 120);
            }

            result.Add(new MoveRequest { DzMm = 0.2, SpeedMmPerS = 10, Kind = MoveKind.Travel });
        }

        return [.. result];

        void To(double toX, double toY, bool prints, double speed)
        {
            var (dx, dy) = (toX - x, toY - y);
            (x, y) = (toX, toY);
            result.Add(new MoveRequest
            {
                DxMm = dx,
                DyMm = dy,
                DeMm = prints ? 0.034 * Math.Sqrt((dx * dx) + (dy * dy)) : 0,
                SpeedMmPerS = prints ? speed : 150,
                Kind = prints ? MoveKind.Print : MoveKind.Travel,
            });
        }

        void Filament(double mm) =>
            result.Add(new MoveRequest { DeMm = mm, SpeedMmPerS = 35, Kind = mm > 0 ? MoveKind.Feed : MoveKind.Retract });
    }
}
