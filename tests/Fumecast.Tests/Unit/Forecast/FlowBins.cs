// SPDX-License-Identifier: MIT
using Fumecast.Machine;
using Fumecast.Motion;

namespace Fumecast.Tests.Unit.Forecast;

/// <summary>Volume in each bin of time, from moves as the printer's own limits time them.</summary>
internal sealed class FlowBins(double binS, double filamentMm2) : IMotionSink
{
    /// <summary>Volume of each bin [mm3].</summary>
    public List<double> Mm3 { get; } = [];

    /// <summary>Time so far [s].</summary>
    public double TotalS { get; private set; }

    public static FlowBins Of(PrintedPath path, PrinterProfile printer, double binS, double filamentMm2)
    {
        var bins = new FlowBins(binS, filamentMm2);
        var planner = new MotionPlanner<FlowBins>(bins, printer.LookaheadBlocks, printer.StartLimits());
        var last = path.Start;
        foreach (var piece in path.Pieces)
        {
            var move = new MoveRequest
            {
                DxMm = piece.X - last.X,
                DyMm = piece.Y - last.Y,
                DzMm = piece.Z - last.Z,
                DeMm = piece.EMm,
                SpeedMmPerS = piece.Feed / 60,
                Kind = MoveKind.Print,
            };
            planner.Add(in move);
            last = (piece.X, piece.Y, piece.Z);
        }

        planner.Stop();
        return bins;
    }

    public void Move(in TimedMoves moves)
    {
        for (var i = 0; i < moves.Count; i++)
        {
            var move = moves[i];
            Put(move.SpeedUpS, move.StartMmPerS, move.PeakMmPerS, move.FeedPerMm);
            Put(move.CruiseS, move.PeakMmPerS, move.PeakMmPerS, move.FeedPerMm);
            Put(move.SlowDownS, move.PeakMmPerS, move.EndMmPerS, move.FeedPerMm);
        }
    }

    public void Mark(int id)
    {
    }

    /// <summary>Shares a stretch of even acceleration out to the bins it crosses.</summary>
    private void Put(double durationS, double from, double to, double feedPerMm)
    {
        var end = TotalS + durationS;
        for (var start = TotalS; start < end;)
        {
            var bin = (int)(start / binS);
            var stop = Math.Min(end, (bin + 1) * binS);
            while (Mm3.Count <= bin)
            {
                Mm3.Add(0);
            }

            var middle = ((start + stop) / 2 - TotalS) / durationS;
            Mm3[bin] += feedPerMm * filamentMm2 * (from + (to - from) * middle) * (stop - start);
            start = stop;
        }

        TotalS = end;
    }
}
