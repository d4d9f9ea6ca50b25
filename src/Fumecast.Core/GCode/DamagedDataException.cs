// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>Compressed data that ends too soon or does not fit its own check.</summary>
internal sealed class DamagedDataException(string message) : IOException(message);
