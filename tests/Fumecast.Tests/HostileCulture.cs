// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Runtime.CompilerServices;

namespace Fumecast.Tests;

/// <summary>Runs the whole suite under a culture with decimal commas: one forgotten invariant parse then fails at once.</summary>
internal static class HostileCulture
{
#pragma warning disable CA2255 // A module initializer is the one place that runs before every test.
    [ModuleInitializer]
    internal static void Set()
#pragma warning restore CA2255
    {
        var german = CultureInfo.GetCultureInfo("de-DE");
        CultureInfo.DefaultThreadCurrentCulture = german;
        CultureInfo.CurrentCulture = german;
    }
}
