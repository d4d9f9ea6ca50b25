// SPDX-License-Identifier: MIT
namespace Fumecast.Forecast;

/// <summary>What is told of the level of an agent in a zone; further places hold the largest means over averaging times.</summary>
internal static class AirFigure
{
    /// <summary>The highest level.</summary>
    public const int Peak = 0;

    /// <summary>The mean from the first start to the last end of a print.</summary>
    public const int MeanPrint = 1;

    /// <summary>The level at the last end.</summary>
    public const int EndOfPrint = 2;

    /// <summary>The integral over all time [s].</summary>
    public const int Integral = 3;

    /// <summary>The first of the means.</summary>
    public const int FirstMean = 4;
}

/// <summary>What is asked of an air, the same for the middle and every draw.</summary>
/// <param name="Clock">Start of the first and end of the last print; time of day.</param>
/// <param name="SpanS">How long the air is followed [s].</param>
/// <param name="MeansS">Averaging times [s].</param>
/// <param name="Clearings">Levels to fall below after the last print.</param>
internal sealed record AirQuestions(Air.RunClock Clock, double SpanS, IReadOnlyList<double> MeansS, IReadOnlyList<ClearingQuestion> Clearings)
{
    /// <summary>How many figures each agent has in each zone.</summary>
    public int Figures => AirFigure.FirstMean + MeansS.Count;

    /// <summary>The figure that is the mean over an averaging time.</summary>
    public int MeanOver(double lengthS) => AirFigure.FirstMean + MeansS.Index().First(m => m.Item == lengthS).Index;
}

/// <summary>A level to fall below for good.</summary>
/// <param name="Zone">Id of the zone.</param>
/// <param name="Agent">The agent.</param>
/// <param name="AddedPerM3">The level, as added by the print [unit of the agent for each m3], over 0.</param>
internal sealed record ClearingQuestion(string Zone, Aerosol.Agent Agent, double AddedPerM3);
