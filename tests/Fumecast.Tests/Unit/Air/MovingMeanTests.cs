// SPDX-License-Identifier: MIT
using Fumecast.Air;

namespace Fumecast.Tests.Unit.Air;

public class MovingMeanTests
{
    [Fact]
    public void A_pulse_shorter_than_the_stretch_counts_in_full_wherever_it_is()
    {
        var mean = new MovingMean(3600);
        mean.Add(500, 0);
        mean.Add(600, 10);
        mean.Add(1e5, 0);
        Close.To(10 * 600 / 3600.0, mean.Largest, 1e-12);
        Close.To(1100, mean.LargestEndsS, 1e-12);
    }

    [Fact]
    public void A_mean_longer_than_what_was_seen_counts_the_rest_as_clean()
    {
        var mean = new MovingMean(86400);
        mean.Add(3600, 24);
        Close.To(1, mean.Largest, 1e-12);
    }

    // Two peaks of different height, neither as long as the stretch: the best stretch begins or ends with one of them.
    [Fact]
    public void The_largest_stretch_is_found_between_uneven_steps()
    {
        var mean = new MovingMean(100);
        foreach (var (seconds, level) in new[] { (7.0, 1.0), (60, 3), (13, 0.5), (50, 4), (301, 0.1), (20, 9) })
        {
            mean.Add(seconds, level);
        }

        Close.To(Best([(7.0, 1.0), (60, 3), (13, 0.5), (50, 4), (301, 0.1), (20, 9)], 100), mean.Largest, 1e-9);
    }

    [Fact]
    public void Steps_far_shorter_than_the_stretch_are_joined_with_hardly_any_loss()
    {
        var steps = Enumerable.Range(0, 40_000).Select(i => (1.0, 1 + Math.Sin(i / 700.0) + 0.3 * Math.Cos(i / 31.0))).ToArray();
        var mean = new MovingMean(28_800);
        foreach (var (seconds, level) in steps)
        {
            mean.Add(seconds, level);
        }

        Close.To(Best(steps, 28_800), mean.Largest, 1e-5);
    }

    [Fact]
    public void The_door_opens_when_the_level_has_fallen_for_good()
    {
        var clearing = new LevelClearing(1, 100);
        clearing.Add(0, 0, 100, 0.5);
        clearing.Add(100, 0.5, 200, 4);
        Assert.Null(clearing.AfterS);
        clearing.Add(200, 4, 300, 0.25);
        Close.To(150, clearing.AfterS!.Value, 1e-12);
        clearing.Add(300, 0.25, 400, 0.1);
        Close.To(150, clearing.AfterS!.Value, 1e-12);
        Assert.Equal(0, new LevelClearing(1, 100).AfterS);
    }

    // Every second as the end of a stretch.
    private static double Best((double Seconds, double Mean)[] steps, int length)
    {
        var perSecond = steps.SelectMany(step => Enumerable.Repeat(step.Mean, (int)step.Seconds)).ToArray();
        var (sum, best) = (0.0, 0.0);
        for (var i = 0; i < perSecond.Length; i++)
        {
            sum += perSecond[i] - (i >= length ? perSecond[i - length] : 0);
            best = Math.Max(best, sum / length);
        }

        return best;
    }
}
