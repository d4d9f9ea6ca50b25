// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>When a job began, by the lag at which the shape of its flow fits the log best.</summary>
/// <remarks>Source: trial methods, 10.</remarks>
internal sealed record FoundStart
{
    private const double LeastStrength = 6, LeastLead = 16, NearlyAsGood = 6, OtherH = 0.75, LeastShareOfShape = 0.25;
    private const double StatedWithinH = 5.0 / 60, AfterPrintH = 1;

    private static readonly double[] Losses = [.35, .5, .7, 1, 1.4, 2, 2.8, 5, 9, 16];

    /// <summary>The best start of the flow, on the clock of the records [h].</summary>
    public required double StartH { get; init; }

    /// <summary>Half the width of the starts that fit nearly as well; at least a record [h].</summary>
    public required double UncertaintyH { get; init; }

    /// <summary>Whether the start can be told: strong enough, and no other far from it nearly as good.</summary>
    public required bool IsClear { get; init; }

    /// <summary>How far above chance the flow fits when it starts with a row [-].</summary>
    public required double[] Strengths { get; init; }

    /// <summary>Variance of what the best fit leaves; at least 1.</summary>
    public required double Excess { get; init; }

    /// <summary>Starts of the rows [h].</summary>
    public required double[] StartsH { get; init; }

    private double Best => Strengths.Max();

    /// <summary>Whether a stated start does not fit the log while another does.</summary>
    /// <param name="statedH">The stated start of the flow [h].</param>
    public bool Contradicts(double statedH)
    {
        var near = Strengths.Where((_, i) => Math.Abs(StartsH[i] - statedH) <= StatedWithinH + 1e-9).DefaultIfEmpty(0).Max();
        return IsClear && (Best * Best - near * near) / Excess > LeastLead;
    }

    /// <summary>Seeks the start of a job.</summary>
    /// <param name="records">The log.</param>
    /// <param name="flow">What the job lays down, from its first filament on.</param>
    /// <param name="noise">The noise of the meter without a print.</param>
    /// <param name="losses">Loss rates tried [1/h]; null for the usual.</param>
    /// <param name="isEnclosed">Whether the air of an enclosure is filled first.</param>
    /// <param name="cancel">Stops the search.</param>
    public static FoundStart In(RunRecords records, FlowSteps flow, ReadingNoise noise, double[]? losses = null, bool isEnclosed = false, CancellationToken cancel = default)
    {
        var rows = records.Values.Length;
        var filter = new WalkingBackground(records, [.. Enumerable.Repeat(noise.Floor, rows)], noise.MemoryH, EventFinder.UsualWalk * noise.Floor);
        var readings = filter.Of(records.Values);
        var (strengths, lossOf) = (new double[rows], new double[rows]);
        foreach (var loss in losses ?? Losses)
        {
            var full = 0.0;
            for (var row = 1; row < rows; row++)
            {
                cancel.ThrowIfCancellationRequested();
                var shape = White(records, flow, filter, loss, isEnclosed, row);
                var square = LeastSquares.Dot(shape, shape);
                full = Math.Max(full, square);
                var product = LeastSquares.Dot(shape, readings);
                if (square > LeastShareOfShape * full && product > strengths[row] * Math.Sqrt(square))
                {
                    (strengths[row], lossOf[row]) = (product / Math.Sqrt(square), loss);
                }
            }
        }

        var best = Array.IndexOf(strengths, strengths.Max());
        var start = records.StartsH[best];
        var excess = best == 0 ? 1 : ExcessOver(records, flow, filter, readings, lossOf[best], isEnclosed, best);
        var lead = strengths[best] * strengths[best];
        var other = strengths.Where((_, i) => Math.Abs(records.StartsH[i] - start) > OtherH).DefaultIfEmpty(0).Max();
        var near = records.StartsH.Where((_, i) => (lead - strengths[i] * strengths[i]) / excess < NearlyAsGood).ToArray();
        return new FoundStart
        {
            StartH = start,
            UncertaintyH = near.Length == 0 ? records.LengthH : Math.Max(records.LengthH, Math.Max(start - near[0], near[^1] - start)),
            IsClear = strengths[best] >= LeastStrength && lead - other * other >= LeastLead,
            Strengths = strengths,
            Excess = excess,
            StartsH = records.StartsH,
        };
    }

    private static double[] White(RunRecords records, FlowSteps flow, WalkingBackground filter, double loss, bool isEnclosed, int row)
    {
        var response = new double[records.Values.Length];
        AirResponse.Fill(flow, records.StartsH[row], loss, isEnclosed ? loss + BoxModel.UsualMixingPerH : null, records, response);
        return filter.Of(response, row, response.Length);
    }

    /// <summary>Variance of what the best fit leaves over the print and the hour after it; at least 1.</summary>
    private static double ExcessOver(RunRecords records, FlowSteps flow, WalkingBackground filter, double[] readings, double loss, bool isEnclosed, int row)
    {
        var rest = Projection.Of([White(records, flow, filter, loss, isEnclosed, row)]).Rest(readings);
        var end = records.StartsH[row] + flow.EndH + AfterPrintH;
        var during = rest.Where((_, i) => i >= row && records.StartsH[i] < end).ToArray();
        return Math.Max(1, during.Average(static one => one * one));
    }
}
