// SPDX-License-Identifier: MIT
namespace Fumecast.Cli;

/// <summary>A command line that cannot be carried out: one line that names the option, what was found and what was expected.</summary>
/// <param name="message">The line.</param>
internal sealed class UsageProblem(string message) : Exception(message);
