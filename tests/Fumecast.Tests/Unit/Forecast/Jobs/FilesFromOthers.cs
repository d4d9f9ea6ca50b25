// SPDX-License-Identifier: MIT
using Fumecast.Tests.Unit.GCode;

namespace Fumecast.Tests.Unit.Forecast.Jobs;

/// <summary>Real files that nobody of this project made; they stand beside the repository.</summary>
/// <remarks>Source of the figures: the index that came with the files, computed there without a motion planner.</remarks>
public class FilesFromOthers
{
    [SkippableFolderFact]
    public void Give_the_filament_the_moves_and_the_set_points_of_their_index()
    {
        Check("vase-spiral-config-block.gcode", null, 6909, 2996.073, 150, 210, 200, 0);
        Check("hourglass-no-spaces-arcs.gcode", "pla", 1605, 118.778, 170, 255);
        Check("puzzle-abs-e-layer-marks.gcode", "pla", 19604, 3206.488, 195, 0);
        Check("part-31min-measured.gcode", null, 6644, 2663.752, 240, 0);
        Check("figure-abs-e-settings-block.gcode", "abs", 2729, 951.269, 240, 0);
        Check("cube-plain-moves.gcode", "abs", 3704, 282.079);
    }

    [SkippableFolderFact]
    public void Give_less_filament_where_a_flow_factor_stays_on()
    {
        var text = File.ReadAllText(RealFiles.PathOf("hourglass-no-spaces-arcs.gcode"));
        var sum = ObviousFilament.Of(text);
        var estimate = Printed.Run(text, Printed.With("pla"));
        Close.To(sum.HighWaterOfAll, estimate.DepositedMm(), 1e-9);
        Assert.InRange(estimate.DepositedMm() / 118.778, 0.95, 0.97);
    }

    private static void Check(string name, string? material, int moves, double filamentMm, params double[] setPointsC)
    {
        var text = File.ReadAllText(RealFiles.PathOf(name));
        var lines = text.Split('\n');
        if (Array.Exists(lines, static line => line.StartsWith("M221 S95", StringComparison.Ordinal)))
        {
            // The index counts E words without the flow factor.
            text = string.Join('\n', lines.Where(static line => !line.StartsWith("M221 S95", StringComparison.Ordinal)));
        }

        var options = Printed.With(material, setPointsC.Length == 0 ? 230 : null);
        var estimate = Printed.Run(text, options);
        var sum = ObviousFilament.Of(text);
        Close.To(filamentMm, estimate.DepositedMm(), 1e-4);
        Close.To(sum.HighWaterOfAll, estimate.DepositedMm(), 1e-9);
        Assert.Equal(moves, estimate.Job.ExtrudingMoves);
        Assert.Equal(setPointsC, sum.NozzleSetPointsC.Distinct());
        if (setPointsC.Length > 0)
        {
            Close.To(setPointsC.Where(c => c > 0).Max(), estimate.Tool(0).NozzleMaxC!.Value, 0.02);
        }
    }
}
