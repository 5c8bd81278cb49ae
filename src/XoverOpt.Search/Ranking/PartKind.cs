namespace XoverOpt.Search;

/// <summary>What a part is.</summary>
public enum PartKind
{
    /// <summary>A balanced-armature receiver.</summary>
    Receiver,

    /// <summary>An acoustic damper.</summary>
    Damper,

    /// <summary>Tubing, by the metre.</summary>
    Tubing,

    /// <summary>A resistor.</summary>
    Resistor,

    /// <summary>A capacitor.</summary>
    Capacitor,

    /// <summary>A coil.</summary>
    Coil,
}
