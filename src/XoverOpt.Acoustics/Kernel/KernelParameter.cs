namespace XoverOpt.Acoustics.Kernel;

/// <summary>What a continuous value of a build is.</summary>
public enum ParameterKind
{
    /// <summary>A resistor, Ω.</summary>
    Resistor,

    /// <summary>A capacitor, F.</summary>
    Capacitor,

    /// <summary>A coil, H.</summary>
    Coil,

    /// <summary>The damper, Pa·s/m³.</summary>
    Damper,

    /// <summary>A tube length, m.</summary>
    TubeLength,

    /// <summary>The bore of the last tube piece, m; only of a way that leaves it free.</summary>
    Bore,
}

/// <summary>Names one continuous value of a build.</summary>
/// <param name="Way">Index of the way.</param>
/// <param name="Kind">What it is.</param>
/// <param name="Index">Index of the network section or tube piece; 0 for the damper.</param>
public readonly record struct KernelParameter(int Way, ParameterKind Kind, int Index);
