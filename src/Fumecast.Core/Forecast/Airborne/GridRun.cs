// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using Fumecast.Aerosol;
using Fumecast.Air;

namespace Fumecast.Forecast;

/// <summary>Follows linear agents that behave alike over a grid; exact for amounts that are even in each cell.</summary>
internal static class GridRun
{
    /// <summary>Follows amounts.</summary>
    /// <param name="model">The air, without background.</param>
    /// <param name="agent">Any of the agents that behave alike.</param>
    /// <param name="grid">The grid.</param>
    /// <param name="clock">What schedules are counted from.</param>
    /// <param name="steps">Room for steps; what it holds is forgotten.</param>
    /// <param name="runs">Amounts, cell by cell and zone by zone, and where their levels go.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Follow(AirModel model, Agent agent, AirGrid grid, RunClock clock, GridSteps steps, ReadOnlySpan<(double[] Amounts, GridLevels Levels)> runs)
    {
        var zones = model.Zones.Count;
        var rates = new AirRates(model, agent);
        rates.SetTo(0, clock);
        steps.Clear();
        var (state, integralS) = (new double[runs.Length * zones], new double[runs.Length * zones]);
        Span<double> perS = stackalloc double[zones];
        Span<double> scratch = stackalloc double[zones];
        for (var cell = 0; cell < grid.Cells; cell++)
        {
            if (!double.IsNaN(grid.ChangeAt[cell]))
            {
                rates.SetTo(grid.ChangeAt[cell], clock);
                steps.Clear();
            }

            var seconds = grid.Seconds(cell);
            var step = steps.Of(rates, grid.Halvings(cell), seconds);
            for (var r = 0; r < runs.Length; r++)
            {
                var (amounts, levels) = runs[r];
                for (var z = 0; z < zones; z++)
                {
                    perS[z] = amounts[cell * zones + z] / seconds;
                }

                step.Take(state.AsSpan(r * zones, zones), perS, integralS.AsSpan(r * zones, zones), scratch);
                for (var z = 0; z < zones; z++)
                {
                    var volumeM3 = model.Zones[z].VolumeM3;
                    levels.PerM3(z)[cell + 1] = state[r * zones + z] / volumeM3;
                    levels.DoseSPerM3(z)[cell + 1] = integralS[r * zones + z] / volumeM3;
                }
            }
        }
    }
}
