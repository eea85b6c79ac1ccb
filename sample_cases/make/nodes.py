"""A few short words for building shader node trees."""

from __future__ import annotations

from typing import Any

import bpy


class Tree:
    """Node tree of one new material. Sockets are addressed by name or number."""

    def __init__(self, name: str) -> None:
        self.material = bpy.data.materials.new(name)
        self.material.use_nodes = True
        self.nodes = self.material.node_tree.nodes
        self.links = self.material.node_tree.links
        self.nodes.clear()
        self.shader = self.add("ShaderNodeBsdfPrincipled")
        output = self.add("ShaderNodeOutputMaterial")
        self.links.new(self.shader.outputs[0], output.inputs["Surface"])

    def add(self, kind: str, settings: dict[str, Any] | None = None, **inputs: Any) -> Any:
        """New node; keyword names are sockets with spaces written as underscores."""
        node = self.nodes.new(kind)
        for key, value in (settings or {}).items():
            setattr(node, key, value)
        for key, value in inputs.items():
            self.put(node, key.replace("_", " "), value)
        return node

    def put(self, node: Any, socket: str | int, value: Any) -> None:
        target = node.inputs[socket]
        if isinstance(value, bpy.types.NodeSocket):
            self.links.new(value, target)
        else:
            target.default_value = value

    def attribute(self, name: str) -> Any:
        return self.add("ShaderNodeAttribute", {"attribute_name": name}).outputs["Fac"]

    def object_place(self, scale: tuple[float, float, float]) -> Any:
        place = self.add("ShaderNodeTexCoord").outputs["Object"]
        return self.add("ShaderNodeMapping", Vector=place, Scale=scale).outputs[0]

    def uv_place(self, scale: tuple[float, float, float]) -> Any:
        place = self.add("ShaderNodeTexCoord").outputs["UV"]
        return self.add("ShaderNodeMapping", Vector=place, Scale=scale).outputs[0]

    def noise(self, place: Any, scale: float, detail: float = 4.0, rough: float = 0.55, bend: float = 0.0) -> Any:
        return self.add(
            "ShaderNodeTexNoise", Vector=place, Scale=scale, Detail=detail, Roughness=rough, Distortion=bend
        ).outputs[0]

    def math(self, operation: str, first: Any, second: Any = 0.0) -> Any:
        node = self.nodes.new("ShaderNodeMath")
        node.operation = operation
        self.put(node, 0, first)
        self.put(node, 1, second)
        return node.outputs[0]

    def band(self, value: Any, low: float, high: float) -> Any:
        """0 at ``low``, 1 at ``high``, clamped."""
        node = self.add("ShaderNodeMapRange", {"interpolation_type": "SMOOTHSTEP"})
        self.put(node, "Value", value)
        self.put(node, "From Min", low)
        self.put(node, "From Max", high)
        return node.outputs[0]

    def mix(self, share: Any, first: Any, second: Any) -> Any:
        """Colour mix; colours are (r, g, b) in linear light or sockets."""
        node = self.add("ShaderNodeMix", {"data_type": "RGBA", "clamp_factor": True})
        self.put(node, 0, share)
        for socket, value in ((6, first), (7, second)):
            self.put(node, socket, value if isinstance(value, bpy.types.NodeSocket) else (*value, 1.0))
        return node.outputs[2]

    def ramp(self, value: Any, stops: list[tuple[float, tuple[float, float, float]]]) -> Any:
        node = self.nodes.new("ShaderNodeValToRGB")
        self.links.new(value, node.inputs[0])
        elements = node.color_ramp.elements
        while len(elements) < len(stops):
            elements.new(0.5)
        for element, (place, colour) in zip(elements, stops, strict=True):
            element.position = place
            element.color = (*colour, 1.0)
        return node.outputs[0]

    def bump(self, height: Any, strength: float, distance_mm: float, normal: Any = None) -> Any:
        node = self.add("ShaderNodeBump", Height=height, Strength=strength, Distance=distance_mm / 1000.0)
        if normal is not None:
            self.put(node, "Normal", normal)
        return node.outputs[0]

    def finish(self, colour: Any, roughness: Any, normal: Any = None, specular: float = 0.35) -> Any:
        self.put(self.shader, "Base Color", colour if isinstance(colour, bpy.types.NodeSocket) else (*colour, 1.0))
        self.put(self.shader, "Roughness", roughness)
        self.put(self.shader, "Specular IOR Level", specular)
        if normal is not None:
            self.put(self.shader, "Normal", normal)
        return self.material
