// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>What is thought of a parameter before the log is seen, and where it may lie.</summary>
/// <param name="Start">Where a fit begins.</param>
/// <param name="Mean">Middle of what is thought possible.</param>
/// <param name="Deviation">Standard deviation of that; infinite when nothing is thought.</param>
/// <param name="Least">Least value allowed.</param>
/// <param name="Most">Greatest value allowed.</param>
internal readonly record struct FitParameter(
    double Start, double Mean = 0, double Deviation = double.PositiveInfinity, double Least = double.NegativeInfinity, double Most = double.PositiveInfinity)
{
    /// <summary>What a value costs by the prior.</summary>
    public double Cost(double value) => double.IsInfinity(Deviation) ? 0 : (value - Mean) / Deviation * ((value - Mean) / Deviation);

    /// <summary>Weight of the prior.</summary>
    public double Weight => double.IsInfinity(Deviation) ? 0 : 1 / (Deviation * Deviation);

    /// <summary>The nearest allowed value.</summary>
    public double Within(double value) => Math.Clamp(value, Least, Most);
}

/// <summary>A model that least squares fit to a log, in whitened rows.</summary>
internal interface IFitModel
{
    /// <summary>The parameters.</summary>
    IReadOnlyList<FitParameter> Parameters { get; }

    /// <summary>Number of rows.</summary>
    int Rows { get; }

    /// <summary>Whitened differences of the readings from the model.</summary>
    /// <param name="values">A value for each parameter.</param>
    /// <param name="white">Receives them.</param>
    void Residuals(ReadOnlySpan<double> values, Span<double> white);

    /// <summary>What each parameter does to the model, whitened: its derivative in each row.</summary>
    /// <param name="values">A value for each parameter.</param>
    /// <param name="columns">Receives a column for each parameter.</param>
    void Slopes(ReadOnlySpan<double> values, double[][] columns);
}
